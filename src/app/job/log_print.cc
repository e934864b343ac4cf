// log print JOB: a print as the guarded job itself tells it.
//
// The stamp says which spools, from what air, and when; the job's own filament curve
// says how much, also of a print that stopped early.

#include "app/job/log_print.h"

#include <cmath>
#include <set>

#include "app/job/stamped.h"
#include "base/exit_code.h"
#include "base/files.h"
#include "base/shown.h"
#include "guard/printed.h"
#include "record/amend.h"
#include "record/shelf.h"
#include "record/typed/quantity.h"
#include "report/history.h"
#include "spool/checks.h"

namespace drydepth {
namespace {

// When the print was, and in which stretch of the job's own time it ended.
struct PrintTimes {
  Instant from{}, to{};
  StopTime stop{};
};

// How long the job takes by the stamp: the clock and the length that guard had found,
// with options that a stamp does not hold.
double stamped_s(const Stamp& stamp) {
  double out = 0;
  for (const SpoolStamp& s : stamp.spools) {
    if (s.print.to) out = static_cast<double>((*s.print.to - s.print.from).count());
  }
  return out;
}

Result<StopTime> read_stop(const PrintWords& words, const Trace& trace,
                           const std::vector<Block>& blocks) {
  if (words.stopped_at.empty()) return StopTime{trace.duration_s, trace.duration_s};
  const auto named = [](const Error& error) {
    return Error{"--stopped-at", error.what, error.hint, kExitUsage};
  };
  const auto place = parse_stop_place(words.stopped_at);
  if (!place) return named(place.error());
  const auto time = stop_time(trace, *place, blocks);
  if (!time) return named(time.error());
  return *time;
}

// A time of day is taken for the next one, which may be a day too late.
constexpr double kLongestHold = 12 * kSecondsPerHour;

Error too_long() {
  return Error{"", "the print would take more than 12 hours longer than the job",
               "if it did, write the day with the time, else mend it", kExitUsage};
}

Error nothing_by_then(const std::string& where) {
  return Error{where, "nothing was printed by then", "mend --stopped-at", kExitUsage};
}

bool is_clock(std::string_view text) {
  return text.size() <= 5 && text.find(':') != std::string_view::npos;
}

// A bare time of day is the one nearest to the start that was checked: people log a
// print the next morning too.
Result<Instant> near_moment(const std::string& text, const Caller& caller, Instant at) {
  if (!is_clock(text)) return parse_moment(text, caller.now, caller.zone, Lean::kPast);
  const auto before = parse_moment(text, at, caller.zone, Lean::kPast);
  const auto after = parse_moment(text, at, caller.zone, Lean::kAhead);
  if (!before || !after) return before;
  return at - *before < *after - at ? before : after;
}

Result<PrintTimes> read_times(const PrintWords& words, const Caller& caller,
                              const Stamp& stamp, const Trace& trace,
                              const StopTime& stop) {
  const auto named = [](const char* option, const Error& error) {
    return Error{option, error.what, error.hint, kExitUsage};
  };
  PrintTimes out{.from = stamp.at, .to = {}, .stop = stop};
  if (!words.from.empty()) {
    const auto from = near_moment(words.from, caller, stamp.at);
    if (!from) return named("--from", from.error());
    out.from = *from;
  }
  const double clock = trace.duration_s > 0 ? stamped_s(stamp) / trace.duration_s : 1;
  const double after_s = clock * (stop.earliest_s + stop.latest_s) / 2.0;
  if (after_s <= 0) return nothing_by_then("--stopped-at");
  out.to = out.from + Seconds(std::llround(after_s));
  if (!words.to.empty()) {
    const auto to = parse_moment(words.to, is_clock(words.to) ? out.from : caller.now,
                                 caller.zone, Lean::kAhead);
    if (!to) return named("--to", to.error());
    out.to = *to;
    const double over_s = static_cast<double>((out.to - out.from).count()) - after_s;
    if (is_clock(words.to) && over_s > kLongestHold) return named("--to", too_long());
  }
  if (out.to > out.from) return out;
  return Error{"--to", "the print would end before it starts", "mend --from or --to",
               kExitUsage};
}

// What a stamped spool's record would hold more. Nothing where the job had not come to
// that tool yet.
std::optional<Interval> print_event(const Stamp& stamp, const SpoolStamp& spool,
                                    const Spool& now, const Trace& trace,
                                    const PrintTimes& times) {
  for (const ToolTrace& tool : trace.tools) {
    if (tool.tool != spool.tool) continue;
    const auto curve = draw_curve(tool, trace.duration_s, now.record, now.material);
    const double whole = curve.back().mass_kg;
    const double scale = whole > 0 ? spool.print.used_kg / whole : 1;
    const double least = scale * mass_at_time(curve, times.stop.earliest_s);
    const double most = scale * mass_at_time(curve, times.stop.latest_s);
    Interval out = spool.print;
    out.from = times.from;
    out.to = times.to;
    out.used_kg = (least + most) / 2.0;
    // Anywhere in between is as likely: the standard deviation of an even spread, where
    // it is wider than what a record takes by itself.
    const double sd_kg = (most - least) / std::sqrt(12.0);
    out.used_sd_kg = sd_kg > kUsedRelativeSd * out.used_kg ? sd_kg : 0.0;
    out.stamp = print_name(stamp);
    if (out.used_kg > 0) return out;
  }
  return std::nullopt;
}

Result<SpoolRecord> with_print(const SpoolRecord& record, const Interval& event,
                               const Material& material) {
  if (counts_print(record, event.stamp)) return record;
  auto out = append_event(record, event);
  if (!out) return out;
  const auto masses = check_masses(*out, material);
  if (!masses) return masses.error();
  return out;
}

Result<Trace> read_stamped_job(const StampedJob& job,
                               const std::map<int, Spool>& spools, const Rules& rules,
                               const Caller& caller) {
  ScanOptions options;
  options.dialects = rules.dialects;
  options.dialect_id = job.stamp.firmware;
  options.environment = caller.environment;
  for (const auto& [tool, spool] : spools) {
    options.filament_diameter_mm.emplace(tool,
                                         spool.record.filament_diameter_m * 1000.0);
  }
  return scan(job.job.text, options);
}

// What a record is to hold more. Tools that took from the same spool are one print.
struct Entry {
  const Spool* spool = nullptr;
  Interval event{};
};

void add_entry(std::map<std::filesystem::path, Entry>& entries, const Spool& spool,
               const Interval& event) {
  const auto [at, fresh] = entries.try_emplace(spool.path, Entry{&spool, event});
  if (fresh) return;
  Interval& sum = at->second.event;
  sum.used_kg += event.used_kg;
  sum.used_sd_kg = std::hypot(sum.used_sd_kg, event.used_sd_kg);
}

// The first reason why one of the records cannot take its print; then none is written.
std::optional<Error> cannot_write(
    const std::map<std::filesystem::path, Entry>& entries) {
  for (const auto& [path, entry] : entries) {
    const auto tried =
        with_print(entry.spool->record, entry.event, entry.spool->material);
    if (!tried) return tried.error();
    const auto file = AtomicFile::open(path);  // never committed
    if (!file) return file.error();
  }
  return std::nullopt;
}

std::string joined(const std::set<std::string>& ids) {
  std::string out;
  for (const std::string& id : ids) out += (out.empty() ? "" : ", ") + id;
  return out;
}

std::optional<Error> changed(const StampedJob& job, const JobDigest& digest,
                             const std::string& path) {
  const auto changes = changes_since(job.stamp, digest, job.blocks);
  if (changes.empty()) return std::nullopt;
  return Error{path, "it is not the job that was checked: " + changes.front(),
               "log what was printed by its grams: drydepth log SPOOL print MASS"};
}

}  // namespace

Result<std::string> log_print(const PrintWords& words, const Caller& caller) {
  const auto map = read_spool_map(words.spools);
  if (!map) return map.error();
  const auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  const auto job = open_stamped(words.job);
  if (!job) return job.error();
  const auto digest = digest_stamped(*job);
  if (!digest) return digest.error();
  if (const auto error = changed(*job, digest->digest, words.job)) return *error;
  const auto spools =
      load_stamped(job->stamp, *map, shelf_folder(words.shared, caller), *rules);
  if (!spools) return spools.error();
  const auto trace = read_stamped_job(*job, *spools, *rules, caller);
  if (!trace) return trace.error();
  const auto stop = read_stop(words, *trace, job->blocks);
  if (!stop) return stop.error();
  const auto times = read_times(words, caller, job->stamp, *trace, *stop);
  if (!times) return times.error();

  // Everything is tried before anything is written.
  std::map<std::filesystem::path, Entry> entries;
  std::set<std::string> counted;
  for (const SpoolStamp& s : job->stamp.spools) {
    const Spool& now = spools->at(s.tool);
    const auto event = print_event(job->stamp, s, now, *trace, *times);
    if (counts_print(now.record, print_name(job->stamp))) {
      counted.insert(s.id);
    } else if (event) {
      add_entry(entries, now, *event);
    }
  }
  if (const auto error = cannot_write(entries)) return *error;
  if (entries.empty()) {
    return Error{
        words.job,
        counted.empty() ? "nothing was printed by then"
                        : "this print is counted already on " + joined(counted),
        counted.empty() ? "mend --stopped-at"
                        : "before a second run guard the job again; a wrong entry goes "
                          "out with drydepth undo"};
  }
  std::string out;
  for (const auto& [path, entry] : entries) {
    // clang 14 captures no structured binding by its name alone.
    const auto saved = update_record(path, [&e = entry](const SpoolRecord& record) {
      return with_print(record, e.event, e.spool->material);
    });
    if (!saved) {
      Error error = saved.error();
      if (!out.empty()) error.hint += "; then log it again: the others have it already";
      return error;
    }
    out += shown(saved->id) + ": " + event_text(entry.event, caller.zone) + "\n";
  }
  return out;
}

}  // namespace drydepth
