#include "guard/course.h"

#include <algorithm>

#include "base/parallel.h"

namespace drydepth {
namespace {

constexpr std::size_t kMostMembers = 16;
constexpr int kPieces = 24;
constexpr Seconds kAround{24 * 3600};

std::vector<Member> some_of(const std::vector<Member>& members) {
  if (members.size() <= kMostMembers) return members;
  std::vector<Member> out;
  for (std::size_t k = 0; k < kMostMembers; ++k) {
    out.push_back(members[k * members.size() / kMostMembers]);
  }
  return out;
}

// The last drying's ends; a log's pieces belong to one event.
void find_drying(const Timeline& timeline, Course& out) {
  const auto& spans = timeline.spans;
  const auto last = std::find_if(spans.rbegin(), spans.rend(), [](const Span& s) {
    return s.kind == SpanKind::kDrying;
  });
  if (last == spans.rend()) return;
  out.dried_from = last->from;
  out.dried_to = last->to;
  for (const Span& span : spans) {
    if (span.kind != SpanKind::kDrying || span.event != last->event) continue;
    out.dried_from = std::min(*out.dried_from, span.from);
  }
}

// Even steps over the stretch, the drying's ends among them.
std::vector<Instant> moments(const Timeline& timeline, const Course& course) {
  Instant from = timeline.from, to = timeline.to;
  if (course.dried_from) {
    from = std::max(from, *course.dried_from - kAround);
    to = std::min(to, *course.dried_to + kAround);
  }
  std::vector<Instant> out;
  for (int k = 0; k <= kPieces; ++k) out.push_back(from + (to - from) * k / kPieces);
  if (course.dried_from) {
    out.push_back(*course.dried_from);
    out.push_back(*course.dried_to);
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

}  // namespace

Course weight_course(const Spool& spool, const std::vector<Member>& members,
                     unsigned threads) {
  const Timeline& timeline = spool.timeline;
  Course out;
  find_drying(timeline, out);
  const std::vector<Instant> at = moments(timeline, out);
  // A reading is a moment at which the replay looks at the scale.
  Spool looked_at = spool;
  looked_at.timeline.readings.clear();
  for (const Instant moment : at) {
    looked_at.timeline.readings.push_back({.at = moment});
  }
  const Instant first =
      timeline.readings.empty() ? at.front() : timeline.readings.front().at;
  const std::vector<Member> some = some_of(members);
  std::vector<std::vector<double>> gross(at.size()), mean(at.size());
  for (std::size_t k = 0; k < at.size(); ++k) {
    gross[k].resize(some.size());
    mean[k].resize(some.size());
  }
  for_each_index(some.size(), threads, [&](std::size_t m) {
    PackSolver solver = spool_solver(looked_at, some[m]);
    const Life life = replay(solver, looked_at, some[m]);
    for (std::size_t k = 0; k < at.size(); ++k) {
      const double days = std::max(0.0, seconds_between(first, at[k]) / 86400.0);
      gross[k][m] = foreseen_kg(life.readings[k], spool.priors, some[m], days);
      mean[k][m] = life.readings[k].content;
    }
  });
  for (std::size_t k = 0; k < at.size(); ++k) {
    out.points.push_back({at[k], percentiles(gross[k]), percentiles(mean[k])});
  }
  return out;
}

}  // namespace drydepth
