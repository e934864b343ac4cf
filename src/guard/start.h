#pragma once

// A spool when a job starts, as each member of the ensemble tells it: its life replayed
// once, from where every feed, every way and every hand then goes on. It needs no job,
// so that it can be made while one is still read.

#include <optional>
#include <vector>

#include "inference/ensemble.h"
#include "moisture/consumption.h"
#include "rules/limit.h"
#include "spool/replay.h"

namespace drydepth {

/// A wound layer as it stands, over the ensemble. Counted from outside.
struct LayerEstimate {
  double mass_kg = 0;  ///< dry, what is left of it
  Percentiles content{};
  Percentiles surface{};  ///< of the strand
  Percentiles core{};     ///< at the strand's axis
  Percentiles temperature_k{};
};

/// How far the spool is still below its limits after standing in room air, p50.
struct LaterDepth {
  double after_s = 0;
  ByLimit<double> depth_kg{};
};

/// A spool at one moment, over the ensemble.
struct SpoolEstimate {
  double remaining_kg = 0;
  Percentiles mean{};
  std::vector<LayerEstimate> layers{};  ///< outermost first
  ByLimit<Percentiles> depth_kg{};      ///< dry depth; p10 the shallow one
  std::vector<LaterDepth> later{};      ///< rising in time, the first one is now
};

/// A spool at one moment, told by one member. Layers counted from outside.
struct MemberLook {
  double mean = 0;
  ByLimit<double> depth_kg{};
  std::vector<double> mass_kg, content, surface, core, temperature_k;
};

/// Where one member stands when the job starts.
struct MemberStart {
  Member member{};
  PackState state{};
  PackModel model{};  ///< of the winding that the spool has then
  MemberLook look{};
  std::vector<LaterDepth> later{};  ///< in the room that the spool stands in
};

/// Replays the spool's life for every member and looks at what its depth does next.
/// Same result whatever the number of threads (0: all).
std::vector<MemberStart> start_members(const Spool& spool,
                                       const std::vector<Member>& members,
                                       unsigned threads);

std::vector<Member> members_of(const std::vector<MemberStart>& starts);

/// Goes on from there.
PackSolver solver_of(const MemberStart& start);

/// All members together; there must be one.
SpoolEstimate estimate_of(const std::vector<MemberStart>& starts);

/// False where neither the record nor its readings say more of the moisture than the
/// guess at its opening did: no moisture is stated, and the 10-90 % range of the mean
/// is still more than half of that guess's.
bool can_tell(const Spool& spool, const SpoolEstimate& estimate);

/// When the dry depth stops being what it was: the time until its p50 has fallen by a
/// fifth, or under what a job needs (if it reached that far at all), whichever is
/// first. Outer wraps wet again from outside, and water from the hub comes outwards, so
/// a depth without a time says little. Nothing where there is no depth, or where it
/// holds for as long as was looked at (kLookAheadS).
std::optional<double> valid_for_s(const SpoolEstimate& estimate, Limit limit,
                                  double needed_kg);
constexpr double kLookAheadS = 14 * 24 * 3600.0;

}  // namespace drydepth
