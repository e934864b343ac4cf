#pragma once

#include <optional>
#include <string_view>

namespace drydepth {

/// In order of gravity; cannot-tell stands last, since nothing can be said.
enum class Verdict { kStaysDry, kMayCross, kWillCross, kCannotTell };

/// S, the share of ensemble members that pass the deciding limit anywhere in the job:
/// under 10 % stays-dry, from 90 % will-cross, else may-cross.
Verdict judge(double share_above);

/// How much the verdict counts of a tool that prints support and tower only: as any
/// other, one step less, or not at all. Wet support is weaker and strings, but comes
/// off (common practice, no source).
enum class SupportWeight { kSame, kLess, kIgnore };
/// "same", "less", "ignore".
std::string_view support_weight_name(SupportWeight weight);
std::optional<SupportWeight> read_support_weight(std::string_view word);

/// What such a tool's verdict counts as.
Verdict weighed(Verdict verdict, SupportWeight weight);

/// "stays-dry", "may-cross", "will-cross", "cannot-tell".
std::string_view verdict_name(Verdict verdict);

}  // namespace drydepth
