#pragma once

#include <string_view>

namespace drydepth {

/// In order of gravity; cannot-tell stands last, since nothing can be said.
enum class Verdict { kStaysDry, kMayCross, kWillCross, kCannotTell };

/// S, the share of ensemble members that pass the deciding limit anywhere in the job:
/// under 10 % stays-dry, from 90 % will-cross, else may-cross.
Verdict judge(double share_above);

/// "stays-dry", "may-cross", "will-cross", "cannot-tell".
std::string_view verdict_name(Verdict verdict);

}  // namespace drydepth
