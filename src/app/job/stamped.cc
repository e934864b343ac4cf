#include "app/job/stamped.h"

#include <algorithm>
#include <cmath>

#include "base/exit_code.h"
#include "gcode/edit/line_ends.h"
#include "record/shelf.h"

namespace drydepth {
namespace {

const FeedReport* feed_in_use(const Report& report, int tool) {
  for (const FeedReport& f : report.feeds) {
    if (f.tool == tool && f.in_use) return &f;
  }
  return nullptr;
}

// Up to when a start is what was checked: until the first depth has changed. Where no
// depth can, for as long as was looked at.
Instant checked_until(const Report& report) {
  Instant out = report.at + Seconds(std::llround(kLookAheadS));
  for (const SpoolReport& s : report.spools) {
    out = std::min(out, valid_until(report, s).value_or(out));
  }
  return out;
}

Interval print_of(const Report& report, const SpoolReport& spool,
                  const FeedReport& feed) {
  return {.kind = SpanKind::kPrint,
          .from = report.at,
          .to = report.at + Seconds(std::llround(report.job->duration_s)),
          .air = feed.air(),
          .used_kg = spool.needed_kg,
          .feed = feed.feed(),
          .job = report.job_file};
}

}  // namespace

Stamp make_stamp(const Report& report, const Policy& policy, const JobDigest& job,
                 const std::vector<Edit>& edits) {
  Stamp out{.version = report.version,
            .at = report.at,
            .until = checked_until(report),
            .job = job,
            .edits = digest_edits(edits),
            .firmware = report.job->firmware};
  for (const SpoolReport& s : report.spools) {
    const FeedReport* feed = feed_in_use(report, s.tool);
    if (feed == nullptr) continue;
    out.spools.push_back({.tool = s.tool,
                          .id = s.of.record.id,
                          .digest = digest_stamped(s.of, policy),
                          .verdict = std::string(verdict_name(feed->verdict)),
                          .print = print_of(report, s, *feed)});
  }
  return out;
}

Result<StampedJob> open_stamped(const std::string& path) {
  StampedJob out;
  auto job = open_job(path);
  if (!job) return job.error();
  out.job = *std::move(job);
  auto blocks = read_blocks(out.job.text);
  if (!blocks) return blocks.error();
  out.blocks = *std::move(blocks);
  auto stamp = read_stamp(out.blocks, path);
  if (!stamp) return stamp.error();
  if (!*stamp) {
    return Error{path,
                 "no stamp stands in it: it was not guarded, or sliced anew since",
                 "run drydepth guard on it", kExitBadData};
  }
  out.stamp = **std::move(stamp);
  return out;
}

Result<JobNow> digest_stamped(const StampedJob& job) {
  const auto digest = digest_job(job.job.text);
  if (!digest) return digest.error();
  if (*digest == job.stamp.job) return JobNow{*digest, false};
  const auto ends = differs_in_line_ends_only(job.job.text, job.stamp.job);
  if (!ends) return ends.error();
  return JobNow{*ends ? job.stamp.job : *digest, *ends};
}

SpoolDigest digest_stamped(const Spool& spool, const Policy& policy) {
  return digest_spool(spool.record, spool.rules_text + policy.text);
}

namespace {

// The record of one stamped spool, its logged air read.
Result<Spool> load_one(const SpoolStamp& stamp, const std::string& word,
                       const std::filesystem::path& shelf, const Rules& rules) {
  // A job comes from anywhere: it names ids of the shelf, and never a file.
  if (word == stamp.id && (word.find('/') != word.npos || word.ends_with(".json"))) {
    return Error{shelf.string(),
                 "\"" + word + "\", which the stamp names, is no spool's id",
                 "name the record with --spool, or guard the job again", kExitBadData};
  }
  const auto path = find_spool(shelf, word);
  if (!path) {
    Error error = path.error();
    if (word == stamp.id) error.hint += "; a record elsewhere is named by --spool PATH";
    return error;
  }
  auto read = load_record(*path);
  if (!read) return read.error();
  auto record = read_air_logs(*std::move(read), *path);
  if (!record) return record.error();
  if (record->id != stamp.id) {
    return Error{
        path->filename().string(),
        "this is the record of " + record->id + ", the job was checked for " + stamp.id,
        "name the right one with --spool"};
  }
  auto spool = match_rules(*std::move(record), rules, stamp.print.from);
  if (spool) spool->path = *path;
  return spool;
}

}  // namespace

Result<std::map<int, Spool>> load_stamped(const Stamp& stamp, const SpoolMap& map,
                                          const std::filesystem::path& shelf,
                                          const Rules& rules) {
  std::map<int, Spool> out;
  for (const SpoolStamp& s : stamp.spools) {
    std::string word = s.id;
    const auto typed = map.find(s.tool), bare = map.find(-1);
    if (typed != map.end()) word = typed->second;
    if (typed == map.end() && bare != map.end() && stamp.spools.size() == 1) {
      word = bare->second;
    }
    auto spool = load_one(s, word, shelf, rules);
    if (!spool) return spool.error();
    out.emplace(s.tool, *std::move(spool));
  }
  return out;
}

}  // namespace drydepth
