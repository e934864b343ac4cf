#pragma once

// What a guarded job was checked against, so that anybody can ask later whether that
// still holds. The stamp travels in the job's note block as JSON, broken into comment
// lines; it holds digests of what was read, not what was found.

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "gcode/edit/digest.h"
#include "record/record.h"

namespace drydepth {

/// How many events of each kind a record holds: weighing, drying, storage, print.
using EventCounts = std::array<std::size_t, 4>;
constexpr std::array<std::string_view, 4> kEventKinds = {"weighing", "drying",
                                                         "storage", "print"};
EventCounts count_events(const SpoolRecord& record);

/// A record and the rules that go with it, as digests.
struct SpoolDigest {
  std::string about{};   ///< the record without its events and their history
  std::string events{};  ///< the events, with the air that was logged
  EventCounts counts{};
  std::string rules{};  ///< the text of the rules that it was checked by
  bool operator==(const SpoolDigest&) const = default;
};
/// `rules`: the text of all that was read besides, rules_text() and the policy's.
SpoolDigest digest_spool(const SpoolRecord& record, std::string_view rules);

struct SpoolStamp {
  int tool = 0;
  std::string id{};
  SpoolDigest digest{};
  std::string verdict{};  ///< of the feed in use
  Interval print{};       ///< what the record would say of this job once printed
};

struct Stamp {
  std::string version{};
  Instant at{};     ///< the job's start
  Instant until{};  ///< the check was made for starts up to then
  JobDigest job{};
  std::string edits{};     ///< digest_edits
  std::string firmware{};  ///< id of the dialect that the job was read by
  std::vector<SpoolStamp> spools{};
};

/// The stamp as lines of a note: ASCII comments shorter than 80 bytes, no "=".
std::vector<std::string> stamp_lines(const Stamp& stamp);

/// The stamp that stands in a job's blocks; nothing where there is none. Error (exit
/// 65) where it cannot be read.
Result<std::optional<Stamp>> read_stamp(const std::vector<Block>& blocks,
                                        const std::string& job_name);

/// The name by which records know the print that a stamp stands for: a part of the
/// job's digest and the start it was checked for.
std::string print_name(const Stamp& stamp);

/// True where a record holds the print of that name.
bool counts_print(const SpoolRecord& record, const std::string& name);

/// What has become of a record since it was stamped, one phrase each: "1 weighing
/// added", "an event was changed", "the rules for pa6 have changed". Empty: nothing.
std::vector<std::string> changes_since(const SpoolStamp& stamp, const SpoolDigest& now);

/// What has become of a job, likewise.
std::vector<std::string> changes_since(const Stamp& stamp, const JobDigest& job,
                                       const std::vector<Block>& blocks);

/// Why a start at that time is not what was checked; empty where it is.
std::string time_doubt(const Stamp& stamp, Instant start);

}  // namespace drydepth
