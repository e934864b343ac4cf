#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "rules/rules.h"
#include "spool/feeds.h"
#include "spool/spool.h"

namespace drydepth {

/// Until when a spool is laid out, and in what.
struct Circumstances {
  Instant at{};
  FeedPlaces places{};
  std::vector<Instant> without{};  ///< readings and findings to learn nothing from
};

/// A record with its material, bodies and priors, and no timeline yet. `at`: which of
/// its bodies it is on. Error for a material or body that no rule knows.
Result<Spool> match_rules(SpoolRecord record, const Rules& rules, Instant at);

/// The same, its logged air read before, laid out. Error also for what check_masses,
/// check_respools, check_layers and make_timeline refuse, and for a moment of `without`
/// at which the record has nothing.
Result<Spool> lay_out(SpoolRecord record, const Rules& rules,
                      const Circumstances& around);

/// The text of the rules that a record's numbers come from: its material, its bodies,
/// what tests of the outer wraps tell. Whatever changes in one of them changes it. A
/// material or body that is not there leaves nothing.
std::string rules_text(const SpoolRecord& record, const Rules& rules);

}  // namespace drydepth
