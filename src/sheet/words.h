#pragma once

// Numbers, places and sentences as people read them. Every text rendering of a report
// goes through these, so that one thing is never said in two ways.

#include <string>
#include <string_view>
#include <vector>

#include "sheet/report.h"

namespace drydepth {

std::string grams_text(double kg);          ///< "186 g", below 20 g "4.1 g"
std::string percent_text(double content);   ///< kg/kg to "0.28 %"
std::string share_text(double share);       ///< 0.97 to "97 %"
std::string duration_text(double seconds);  ///< "11 h 06 min", "47 min"
std::string metres_text(double mm);         ///< "68.5 m"

/// "1.34 % (10-90 %: 1.02-1.70 %)", or the one number when nominal.
std::string percent_range_text(const Report& report, const Percentiles& content);

/// "83 g L95 11:20", with "+1d" before a clock time of another day; "never".
std::string crossing_text(const Report& report, const std::optional<CrossingPlace>& at,
                          const LocalZone& zone);

/// Breaks a sentence at blanks into lines of at most `columns`.
std::vector<std::string> wrap_text(std::string_view sentence, std::size_t columns);

}  // namespace drydepth
