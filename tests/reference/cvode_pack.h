#pragma once

// The pack's own semi-discrete equations (pack_rates) advanced by CVODE of SUNDIALS:
// variable-order BDF, Newton, banded Jacobian by differences. Written against SUNDIALS
// 6.4. The ledgers are left out: nothing depends on them without a chamber.

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>

#include <stdexcept>

#include "moisture/pack_solver.h"

namespace drydepth {

struct CvodeTolerance {
  double relative = 1e-9;
  double content = 1e-12;  ///< kg/kg
  double vapour = 1e-12;   ///< kg/m3
  double temperature_k = 1e-8;
};

class CvodePack {
 public:
  CvodePack(const PackModel& model, const CvodeTolerance& tolerance)
      : model_(model), tolerance_(tolerance) {
    terms_.shape(model.shells, model.layers);
    y_.shape(model.shells, model.layers);
    rates_.shape(model.shells, model.layers);
    SUNContext_Create(nullptr, &context_);
  }
  CvodePack(const CvodePack&) = delete;
  CvodePack& operator=(const CvodePack&) = delete;
  ~CvodePack() { SUNContext_Free(&context_); }

  /// Advances the state; without a chamber. Returns the number of steps.
  long advance(PackState& state, const Surroundings& around, double seconds) {
    around_ = &around;
    layers_ = state.layers;
    y_ = state.y;
    const sunindextype block = model_.shells + 2, count = block * layers_;
    N_Vector v = N_VNew_Serial(count, context_);
    N_Vector bounds = N_VNew_Serial(count, context_);
    SUNMatrix matrix = SUNBandMatrix(count, block + 1, block + 1, context_);
    SUNLinearSolver linear = SUNLinSol_Band(v, matrix, context_);
    void* cvode = CVodeCreate(CV_BDF, context_);
    pack(state.y, N_VGetArrayPointer(v));
    fill_bounds(N_VGetArrayPointer(bounds));
    CVodeInit(cvode, &CvodePack::rates_of, 0.0, v);
    CVodeSVtolerances(cvode, tolerance_.relative, bounds);
    CVodeSetUserData(cvode, this);
    CVodeSetMaxNumSteps(cvode, 1000000);
    CVodeSetLinearSolver(cvode, linear, matrix);
    CVodeSetStopTime(cvode, seconds);
    double reached = 0;
    const int flag = CVode(cvode, seconds, v, &reached, CV_NORMAL);
    unpack(N_VGetArrayPointer(v), state.y);
    long steps = 0;
    CVodeGetNumSteps(cvode, &steps);
    CVodeFree(&cvode);
    SUNLinSolFree(linear);
    SUNMatDestroy(matrix);
    N_VDestroy(bounds);
    N_VDestroy(v);
    if (flag < 0) throw std::runtime_error("CVODE failed");
    return steps;
  }

 private:
  // Layer by layer, so that the matrix is banded.
  void pack(const PackVector& from, double* to) const {
    for (int i = 0; i < layers_; ++i) {
      for (int j = 0; j < model_.shells; ++j) *to++ = from.content(j)[i];
      *to++ = from.vapour()[i];
      *to++ = from.temperature()[i];
    }
  }
  void unpack(const double* from, PackVector& to) const {
    for (int i = 0; i < layers_; ++i) {
      for (int j = 0; j < model_.shells; ++j) to.content(j)[i] = *from++;
      to.vapour()[i] = *from++;
      to.temperature()[i] = *from++;
    }
  }
  void fill_bounds(double* to) const {
    for (int i = 0; i < layers_; ++i) {
      for (int j = 0; j < model_.shells; ++j) *to++ = tolerance_.content;
      *to++ = tolerance_.vapour;
      *to++ = tolerance_.temperature_k;
    }
  }
  static int rates_of(double t, N_Vector v, N_Vector out, void* self_pointer) {
    CvodePack& self = *static_cast<CvodePack*>(self_pointer);
    const Surroundings& s = *self.around_;
    const Air air{s.air.temperature_k + s.temperature_rate_k_s * t,
                  s.air.vapour_kg_m3 + s.vapour_rate_kg_m3_s * t};
    self.unpack(N_VGetArrayPointer(v), self.y_);
    pack_rates(self.model_, s, air, self.layers_, self.y_, self.terms_, self.rates_);
    self.pack(self.rates_, N_VGetArrayPointer(out));
    return 0;
  }

  const PackModel& model_;
  CvodeTolerance tolerance_;
  SUNContext context_ = nullptr;
  const Surroundings* around_ = nullptr;
  int layers_ = 0;
  PackVector y_, rates_;
  PackTerms terms_;
};

}  // namespace drydepth
