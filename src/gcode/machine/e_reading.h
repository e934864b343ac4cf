#pragma once

#include <map>

namespace drydepth {

/// How the E words were read until the job itself said otherwise.
struct EReading {
  bool relative = false;
  bool volumetric = false;                 ///< mm3, without M200
  std::map<int, double> diameter_mm = {};  ///< by tool, where volumetric
};

}  // namespace drydepth
