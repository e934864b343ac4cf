#pragma once

#include <string>

namespace drydepth {

/// The style sheet that every chart carries, so that it also stands alone. Rules bind
/// to the chart's own class only; the same sheet twice on a page does no harm.
std::string chart_style();

}  // namespace drydepth
