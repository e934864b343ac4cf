#include "guard/actions/message.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "guard/place.h"
#include "rules/firmware.h"

using namespace drydepth;

namespace {

Dialect dialect(std::string_view id) {
  const auto all = load_firmwares();
  REQUIRE(all);
  const Dialect* found = find_dialect(*all, id);
  REQUIRE(found);
  return *found;
}

// Wound layers of 45 g; the crossing as given.
FeedRace race_of_45_g_layers() {
  FeedRace race;
  for (int k = 0; k <= 6; ++k) race.nozzle.push_back({.mass_kg = 0.045 * k});
  return race;
}

LimitRace crossing_at(std::optional<double> kg) {
  LimitRace limit;
  limit.crossing_kg[0] = kg;
  return limit;
}

std::optional<PlannedEdit> message(const Trace& trace, const Spool& dried,
                                   std::string_view firmware, const LimitRace& limit,
                                   bool many_tools) {
  const FeedRace race = race_of_45_g_layers();
  const Dialect words = dialect(firmware);
  return plan_message({trace, trace.tools[0], words, dried, race, limit, many_tools});
}

}  // namespace

TEST_CASE("a place lies between the trace's points and in the last layer begun") {
  const Trace trace = plain_trace(4);
  const struct {
    double length_mm;
    std::uint64_t line;
    std::uint32_t layer;
    double time_s;
  } rows[] = {{0, 104, 0, 0},           {5'000, 154, 0, 2'000},
              {10'000, 204, 1, 4'000},  {25'000, 354, 2, 10'000},
              {40'000, 504, 3, 16'000}, {99'000, 504, 3, 16'000}};
  for (const auto& row : rows) {
    INFO(row.length_mm);
    const Place place = place_of(trace, trace.tools[0], row.length_mm);
    CHECK(place.line == row.line);
    CHECK(place.layer == row.layer);
    CHECK(place.time_s == Approx(row.time_s));
  }
}

TEST_CASE("a message goes one wound layer before the early crossing") {
  const Spool dried = dried_spool();
  const Trace trace = plain_trace(10);  // a job layer of 10 m: 27.18 g
  const auto planned = message(trace, dried, "marlin", crossing_at(0.200), false);
  REQUIRE(planned);
  // 200 g lies in the fifth wound layer (180 g on); one earlier begins at 135 g, which
  // is 49.67 m: the fifth job layer, begun at 40 m = 108.7 g, 91 g before the crossing.
  CHECK(planned->edit.line == 504);
  CHECK(planned->edit.offset == 14'000);
  CHECK(planned->edit.action == "message");
  // 33.6 m at 400 s a metre are 13 400 s; "wraps" would not fit in 20 columns.
  CHECK(planned->edit.lines == std::vector<std::string>{"M117 wet in 3h43 91 g"});
  CHECK(planned->reason == "one wound layer before the early crossing, at 200 g");
}

TEST_CASE("a message skips layer starts that are not fit for one") {
  const Spool dried = dried_spool();
  Trace trace = plain_trace(10);
  trace.layers[4].safe = trace.layers[3].safe = false;
  const auto planned = message(trace, dried, "marlin", crossing_at(0.200), false);
  REQUIRE(planned);
  CHECK(planned->edit.line == 304);  // earlier, never later
  for (LayerMark& mark : trace.layers) mark.safe = false;
  CHECK_FALSE(message(trace, dried, "marlin", crossing_at(0.200), false));
}

TEST_CASE("a message names the tool where there are several, and says now at once") {
  const Spool dried = dried_spool();
  const Trace trace = plain_trace(10);
  const auto planned = message(trace, dried, "marlin", crossing_at(0.0), true);
  REQUIRE(planned);
  CHECK(planned->edit.line == 104);
  CHECK(planned->edit.lines == std::vector<std::string>{"M117 t0 wet wraps now"});
}

TEST_CASE("a message says as much as the display has room for, and cuts no number") {
  const Spool dried = dried_spool();
  Trace trace = plain_trace(10);
  const FeedRace race = race_of_45_g_layers();
  const LimitRace limit = crossing_at(0.200);
  const struct {
    int columns;
    double hours;  // of the job
    const char* one_tool;
    const char* many_tools;
  } rows[] = {
      {40, 11.11, "M117 wet wraps in 3h43 91 g", "M117 t0 wet wraps in 3h43 91 g"},
      {40, 5.0, "M117 wet wraps in 1h40 91 g", "M117 t0 wet wraps in 1h40 91 g"},
      {40, 2.0, "M117 wet wraps in 40 min 91 g", "M117 t0 wet wraps in 40 min 91 g"},
      {20, 2.0, "M117 wet in 40 min 91 g", "M117 t0 wet in 40min 91g"},
      {18, 2.0, "M117 wet in 40 min 91 g", "M117 t0 wet in 91g"},
      {14, 2.0, "M117 wet in 91g", "M117 t0 wet in 91g"},
      {8, 2.0, "M117 wet soon", "M117 t0 wet s"},
      {40, 0.01, "M117 wet wraps in 91 g", "M117 t0 wet wraps in 91 g"}};
  for (const auto& row : rows) {
    INFO(row.columns << " columns, " << row.hours << " h");
    Trace job = trace;
    const double factor = row.hours / 11.11;
    for (LayerMark& mark : job.layers) mark.time_s *= factor;
    for (TracePoint& point : job.tools[0].points) point.time_s *= factor;
    Dialect words = dialect("marlin");
    words.message->max_length = row.columns;
    const auto text = [&](bool many) {
      return plan_message({job, job.tools[0], words, dried, race, limit, many})
          ->edit.lines.front();
    };
    CHECK(text(false) == row.one_tool);
    CHECK(text(true) == row.many_tools);
  }
}

TEST_CASE("no message without a crossing or on a firmware that has none") {
  const Spool dried = dried_spool();
  const Trace trace = plain_trace(10);
  CHECK_FALSE(message(trace, dried, "marlin", crossing_at(std::nullopt), false));
  CHECK_FALSE(message(trace, dried, "bambu", crossing_at(0.1), false));
}
