#pragma once

#include <string>

#include "app/request/progress.h"
#include "app/request/settings.h"
#include "report/report.h"

namespace drydepth {

/// A spool whose moisture is asked for.
struct EstimateRequest {
  std::string spool;  ///< a SPOOL word
  SharedWords shared{};
  /// As typed: drying on at this temperature ("80C"), what a job wants from outside
  /// ("180g"), what the scale repeats to.
  std::string dry{}, need{}, scale = "0.1g";
  bool compare = false;      ///< with one exponential through the weighings
  bool sensitivity = false;  ///< what the answer depends on
};

/// The spool as its members tell it, nothing more.
Result<Report> report_on_spool(const std::string& spool, const SharedWords& words,
                               const Caller& caller, const Progress& progress = {});

/// The same with what drying on would do, which reading would tell most, and whatever
/// else was asked for. Error for the first option or record that is wrong.
Result<Report> estimate_spool(const EstimateRequest& request, const Caller& caller,
                              const Progress& progress = {});

}  // namespace drydepth
