#include "spool/lot.h"

namespace drydepth {
namespace {

void replace(const SpoolRecord& record, const std::optional<double>& own,
             Sourced& number) {
  if (!own) return;
  number = {.value = *own,
            .sd = {},
            .log_sd = {},
            .source = "limits of the record " + record.file,
            .status = "read"};
}

}  // namespace

Material of_lot(const SpoolRecord& record, Material material) {
  for (const Limit limit : kLimits) {
    replace(record, record.limits.percent[limit], material.limit_percent[limit]);
  }
  replace(record, record.limits.drying_max_c, material.drying_max_c);
  return material;
}

}  // namespace drydepth
