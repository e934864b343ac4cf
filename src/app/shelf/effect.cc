#include "app/shelf/effect.h"

#include <algorithm>
#include <cmath>

#include "app/request/folders.h"
#include "app/shelf/kept_fit.h"
#include "app/shelf/load_spool.h"
#include "base/numbers.h"
#include "base/shown.h"
#include "guard/glance.h"
#include "report/words.h"

namespace drydepth {
namespace {

// A person waits for this answer with a spool in hand. A fit costs up to a second of
// one core for each span before the last reading, and a minute where a reading cannot
// be; a look at one side some 20 ms a span (docs/performance.md). With these bounds the
// answer takes about a second on two cores. They count and do not time: what is said
// must not hang on the machine.
constexpr std::size_t kSpansOfQuickFit = 3;
constexpr std::size_t kSpansOfQuickGlance = 50;

struct View {
  const SharedWords& shared;
  const Settings& settings;
  const Rules& rules;
  const std::string& version;

  double limit(const Spool& spool) const { return spool.limits[settings.decides]; }
};

// A record laid out, and its ensemble: none where only a long fit would give one.
struct Side {
  Spool spool;
  std::vector<Member> members;
};

std::size_t spans_to_fit(const Timeline& timeline) {
  const auto end = last_learned(timeline);
  return static_cast<std::size_t>(
      std::count_if(timeline.spans.begin(), timeline.spans.end(),
                    [&](const Span& s) { return end && s.from < *end; }));
}

Result<Side> lay_out(const View& view, const SpoolRecord& record,
                     const std::filesystem::path& path) {
  auto spool = lay_out_from(record, path, view.settings, view.rules);
  if (!spool) return spool.error();
  return Side{*std::move(spool), {}};
}

std::vector<Member> members_of(const View& view, const Side& side, bool may_fit) {
  const Timeline& timeline = side.spool.timeline;
  if (timeline.spans.size() > kSpansOfQuickGlance) return {};
  SharedWords shared = view.shared;
  shared.kept_only = !may_fit;
  return fit_members(shared, side.spool, view.version).members;
}

// "1.19 % (0.92-1.63)".
std::string range_text(const Percentiles& p, double factor, int decimals,
                       const char* unit) {
  const auto number = [&](double v) { return format_fixed(v * factor, decimals); };
  return number(p.p50) + unit + " (" + number(p.p10) + "-" + number(p.p90) + ")";
}

struct Clauses {
  std::string mean, depth;
  bool operator==(const Clauses&) const = default;
};

// Nothing where there is no ensemble.
std::optional<Clauses> look_at(const View& view, const Side& side) {
  if (side.members.empty()) return std::nullopt;
  const Spool& spool = side.spool;
  const Glance seen =
      glance(spool, view.limit(spool), side.members, view.shared.threads);
  if (!can_tell(spool, SpoolEstimate{.mean = seen.mean})) {
    return Clauses{"moisture cannot be told from what is recorded", ""};
  }
  return Clauses{"mean " + range_text(seen.mean, 100, 2, " %"),
                 ", dry depth " + range_text(seen.depth_kg, 1000, 0, " g")};
}

// A weighing that was logged, and what the ensemble before it had foreseen for it.
struct Foreseen {
  ScaleReading reading;
  Percentiles gross_kg;
};

// Nothing for other changes.
std::optional<Foreseen> foresee(const View& view, const Side& before,
                                const Side& after) {
  const auto& old = before.spool.timeline.readings;
  const auto& readings = after.spool.timeline.readings;
  if (before.members.empty() || readings.size() != old.size() + 1) return std::nullopt;
  std::size_t k = 0;
  while (k < old.size() && old[k].at == readings[k].at) ++k;
  const Glance seen =
      glance(after.spool, view.limit(after.spool), before.members, view.shared.threads);
  return Foreseen{readings[k], seen.foreseen_kg[k]};
}

// A reading far from what was foreseen (beyond two standard deviations, were it normal)
// is a long search for an explanation that may not exist.
bool fits_quickly(const std::optional<Foreseen>& foreseen, const Side& after) {
  if (spans_to_fit(after.spool.timeline) > kSpansOfQuickFit) return false;
  if (!foreseen) return true;
  const Percentiles& kg = foreseen->gross_kg;
  return std::abs(foreseen->reading.gross_kg - kg.p50) <= 0.75 * (kg.p90 - kg.p10);
}

std::string foreseen_text(const Foreseen& foreseen) {
  return "; the scale shows " + format_fixed(foreseen.reading.gross_kg * 1000, 1) +
         " g, foreseen " + range_text(foreseen.gross_kg, 1000, 1, " g");
}

std::string cannot(const Error& error) {
  return "  estimate: cannot be made now: " + error.text() + "\n";
}

}  // namespace

std::optional<Instant> last_moment(const SpoolRecord& record) {
  std::optional<Instant> out = record.opened.at;
  for (const Event& event : record.events) {
    Instant at = start_of(event);
    const auto* interval = std::get_if<Interval>(&event);
    if (interval != nullptr && interval->to) at = *interval->to;
    if (!out || at > *out) out = at;
  }
  return out;
}

std::string effect_line(SharedWords shared, const RecordChange& change,
                        const Caller& caller, const Progress& progress) {
  // These have no option here; where an estimate would take them from, so does this.
  shared.room = environment(caller, "DRYDEPTH_ROOM");
  shared.limit = environment(caller, "DRYDEPTH_LIMIT");
  auto settings = understand(shared, caller);
  if (!settings) return cannot(settings.error());
  const auto rules = load_rules(shared.rules);
  if (!rules) return cannot(rules.error());
  const auto last = last_moment(change.after);
  if (shared.at.empty() && last) settings->at = *last;
  tell(progress, "working out the new estimate");
  const View view{shared, *settings, *rules, caller.version};
  auto before = lay_out(view, change.before, change.path);
  auto after = lay_out(view, change.after, change.path);
  if (!after) return cannot(after.error());
  if (before) before->members = members_of(view, *before, false);
  const auto foreseen = before ? foresee(view, *before, *after) : std::nullopt;
  // Only now: a new fit takes the place of the one kept so far.
  after->members = members_of(view, *after, fits_quickly(foreseen, *after));
  const auto now = look_at(view, *after);
  const auto was = before ? look_at(view, *before) : std::nullopt;
  std::string out = "  estimate at " + format_local(settings->at, caller.zone) + ": " +
                    (now ? now->mean + now->depth
                         : "a new one takes a while, drydepth estimate " +
                               shown(change.after.id) + " makes it");
  if (now && !now->depth.empty()) {
    out += " below " + percent_text(view.limit(after->spool)) + " (" +
           std::string(limit_name(settings->decides)) + ")";
  }
  if (was) out += *was == now ? "; as before" : "; before: " + was->mean + was->depth;
  if (foreseen) out += foreseen_text(*foreseen);
  return out + "\n";
}

}  // namespace drydepth
