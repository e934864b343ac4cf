#include "guard/verdict.h"

namespace drydepth {

Verdict judge(double share_above) {
  if (share_above < 0.1) return Verdict::kStaysDry;
  return share_above < 0.9 ? Verdict::kMayCross : Verdict::kWillCross;
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
