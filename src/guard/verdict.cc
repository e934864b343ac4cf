#include "guard/verdict.h"

namespace drydepth {

Verdict judge(double share_above) {
  if (share_above < 0.1) return Verdict::kStaysDry;
  return share_above < 0.9 ? Verdict::kMayCross : Verdict::kWillCross;
}

std::string_view support_weight_name(SupportWeight weight) {
  switch (weight) {
    case SupportWeight::kSame:
      return "same";
    case SupportWeight::kLess:
      return "less";
    case SupportWeight::kIgnore:
      return "ignore";
  }
  return "same";
}

std::optional<SupportWeight> read_support_weight(std::string_view word) {
  for (const SupportWeight weight :
       {SupportWeight::kSame, SupportWeight::kLess, SupportWeight::kIgnore}) {
    if (word == support_weight_name(weight)) return weight;
  }
  return std::nullopt;
}

Verdict weighed(Verdict verdict, SupportWeight weight) {
  if (weight == SupportWeight::kSame) return verdict;
  const bool mild = verdict == Verdict::kStaysDry || verdict == Verdict::kMayCross;
  if (weight == SupportWeight::kIgnore || mild) return Verdict::kStaysDry;
  return Verdict::kMayCross;
}

std::string_view verdict_name(Verdict verdict) {
  switch (verdict) {
    case Verdict::kStaysDry:
      return "stays-dry";
    case Verdict::kMayCross:
      return "may-cross";
    case Verdict::kWillCross:
      return "will-cross";
    case Verdict::kCannotTell:
      return "cannot-tell";
  }
  return "cannot-tell";
}

}  // namespace drydepth
