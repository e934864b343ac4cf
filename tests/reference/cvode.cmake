# Sets DRYDEPTH_CVODE to the libraries of SUNDIALS CVODE that tests compare with; empty
# where they are not installed (Debian: libsundials-dev). Found one by one, since the
# package's own configuration asks for MPI and PETSc too.
set(DRYDEPTH_CVODE)
find_path(sundials_include cvode/cvode.h)
foreach(part cvode nvecserial sunmatrixband sunlinsolband)
  find_library(sundials_${part} sundials_${part})
  list(APPEND DRYDEPTH_CVODE ${sundials_${part}})
endforeach()
if(NOT sundials_include OR DRYDEPTH_CVODE MATCHES "NOTFOUND")
  set(DRYDEPTH_CVODE)
endif()
