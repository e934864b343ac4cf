#pragma once

// Numbers, places and sentences as people read them. Every text rendering of a report
// goes through these, so that one thing is never said in two ways.

#include <string>
#include <string_view>
#include <vector>

#include "report/report.h"

namespace drydepth {

std::string grams_text(double kg);          ///< "186 g", below 20 g "4.1 g"
std::string percent_text(double content);   ///< kg/kg to "0.28 %"
std::string share_text(double share);       ///< 0.97 to "97 %"
std::string duration_text(double seconds);  ///< "11 h 06 min", "47 min"
std::string metres_text(double mm);         ///< "68.5 m"

/// "2026-03-06 07:30 UTC+1": local, with what the place adds.
std::string moment_text(Instant at, const LocalZone& zone);

/// "1.34 % (p10-p90 1.02-1.70 %)", or the one number when nominal.
std::string percent_range_text(const Report& report, const Percentiles& content);

/// What the weighings say and cannot say: how many, how small a change they can tell,
/// what each finding on the outer wraps did, and each one that cannot be. Empty
/// without any.
std::vector<std::string> fit_sentences(const SpoolReport& spool);

/// "11:20", with "+1d" before it on another day than `from`.
std::string clock_text(Instant from, Instant when, const LocalZone& zone);

/// "83 g L96 11:20" (layers count from 1), with "+1d" before a clock time of another
/// day; "never".
std::string crossing_text(const Report& report, const std::optional<CrossingPlace>& at,
                          const LocalZone& zone);

/// How far from outside the spool is estimated below one of its limits.
std::string depth_text(const Report& report, const SpoolReport& spool, Limit kind);

/// The same without the words before it: "48.0 m, 131 g, 85 wraps (p10-p90 0-224 g)".
std::string depth_words(const Report& report, const SpoolReport& spool, Limit kind);

/// How long the deciding depth may be relied on while the spool just stands there;
/// empty where there is none.
std::string valid_text(const Report& report, const SpoolReport& spool,
                       const LocalZone& zone);

/// Its two clocks: "30 min since drying, 12 h above 60 C".
std::string clocks_text(const SpoolReport& spool);

/// The sentences that open every text on a spool: what it is, its moisture, how deep.
std::vector<std::string> spool_sentences(const Report& report, const SpoolReport& spool,
                                         const LocalZone& zone);

}  // namespace drydepth
