// A respool through everything that knows of it: record, timeline, replay, fit.

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "base/json_value.h"
#include "moisture/pack_state.h"
#include "record/amend.h"
#include "record/event_writer.h"
#include "record/record_text.h"
#include "spool/checks.h"
#include "spool/doubts.h"
#include "spool/fit/fit.h"
#include "spool/fit/tare_doubt.h"
#include "spool/replay.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

constexpr StatedAir kRoom{.temperature_k = 296.15, .activity = 0.45};
const std::string kOpened =
    R"({"at": "2026-03-02T08:00:00Z", "moisture_percent": 2.8, "temperature_c": 23})";

Material pa6() { return *find_material(*load_materials(), "pa6", "test"); }
Body body(const char* kind) { return *find_body(*load_bodies(), kind, "test"); }

// Twelve hours at 82 C, then on the shelf.
const std::string kLife = R"({"type": "drying", "from": "2026-03-02T08:00:00Z",
    "to": "2026-03-02T20:00:00Z",
    "air": {"temperature_c": 82, "room": {"temperature_c": 23, "rh_percent": 40}}},
  {"type": "storage", "from": "2026-03-02T20:00:00Z",
   "air": {"temperature_c": 23, "rh_percent": 45}})";

std::string respool_at(const std::string& at, const std::string& more = "") {
  return R"({"type": "respool", "at": ")" + at +
         R"(", "body": {"kind": "pc", "tare_g": 190, "tare_sd_g": 3})" + more + "}";
}

std::string weighing_at(const std::string& at, const std::string& gross_g) {
  return R"({"type": "weighing", "at": ")" + at + R"(", "gross_g": )" + gross_g +
         R"(, "scale_sd_g": 0.1})";
}

struct Lived {
  Winding winding;
  std::vector<double> mass_kg, content;  // by layer, hub first
  double mean = 0;
  std::vector<OnTheScale> readings;
  std::vector<double> found;
};

Lived live(const SpoolRecord& record, const std::string& at) {
  Spool spool{.record = record, .material = pa6()};
  spool.priors = spool_priors(record, spool.material, body("pc"));
  spool.timeline = *make_timeline(record, utc(at), kRoom);
  spool.timeline.evidence =
      outer_evidence(record, spool.material, *load_evidence_rules(), kRoom, utc(at));
  PackSolver solver = spool_solver(spool, {});
  const Life life = replay(solver, spool, {});
  Lived out{.winding = wound_at(record, spool.material, spool.timeline),
            .mass_kg = {},
            .content = {},
            .mean = mean_content(solver.model(), life.state),
            .readings = life.readings,
            .found = life.outer};
  REQUIRE(solver.model().winding.layers() == out.winding.layers());
  CHECK(solver.model().winding.outer_radius_m ==
        Approx(out.winding.outer_radius_m).epsilon(1e-12));
  for (int i = 0; i < life.state.layers; ++i) {
    out.mass_kg.push_back(remaining_mass_kg(solver.model(), life.state, i));
    out.content.push_back(layer_content(solver.model(), life.state, i));
  }
  return out;
}

TEST_CASE("a respool is read and written") {
  const std::string event =
      R"({"type":"respool","at":"2026-03-03T08:00:00Z","body":{"kind":"pc","tare_g":190,)"
      R"("tare_sd_g":3,"hub_open":true},"winding":{"hub_diameter_mm":100,"width_mm":60,)"
      R"("outer_diameter_mm":190},"air":{"temperature_c":20,"rh_percent":35}})";
  const SpoolRecord record = read(record_text(event));
  const auto& respool = std::get<Respool>(record.events[0]);
  CHECK(respool.at == utc("2026-03-03T08:00:00Z"));
  CHECK(respool.body.kind == "pc");
  CHECK(respool.body.tare_kg == Approx(0.190));
  CHECK(respool.body.hub_open);
  CHECK(respool.hub_diameter_m == Approx(0.100));
  CHECK(respool.width_m == Approx(0.060));
  CHECK(respool.outer_diameter_m == Approx(0.190));
  CHECK(respool.air->activity == Approx(0.35));
  CHECK(event_json(record.events[0]).dump() == event);
}

TEST_CASE("the body at an event and at a moment") {
  const std::string at = "2026-03-03T08:00:00Z";
  const SpoolRecord record = read(record_text(
      weighing_at(at, "1190") + "," + respool_at(at) + "," + weighing_at(at, "1166")));
  CHECK(body_at(record, 0).tare_kg == Approx(0.214));
  CHECK(body_at(record, 1).tare_kg == Approx(0.214));
  CHECK(body_at(record, 2).tare_kg == Approx(0.190));
  CHECK(body_at(record, 99).tare_kg == Approx(0.190));
  CHECK(body_at(record, utc("2026-03-03T07:59:00Z")).tare_kg == Approx(0.214));
  CHECK(body_at(record, utc(at)).tare_kg == Approx(0.190));
  CHECK(check_masses(record, pa6()).has_value());
}

TEST_CASE("respools that cannot be") {
  struct Row {
    const char* label;
    std::string events, error;
  };
  const std::string respool = respool_at("2026-03-02T12:00:00Z");
  const Row rows[] = {
      {"in a dryer", kLife + "," + respool_at("2026-03-02T10:00:00Z"),
       "T.json /events/2/at: the event at 2026-03-02T10:00:00Z stands behind one that "
       "starts later; put events in the order of their times"},
      {"while it dries",
       R"({"type": "drying", "from": "2026-03-02T08:00:00Z",
           "air": {"temperature_c": 82}},)" +
           respool,
       "T.json /events/1/at: wound over at 2026-03-02T12:00:00Z, in the middle of the "
       "drying that starts at 2026-03-02T08:00:00Z; end the drying first, or mend one "
       "of the two times"},
      {"without a body", R"({"type": "respool", "at": "2026-03-02T12:00:00Z"})",
       "T.json /events/0/body: this object is missing; write { ... } there"},
      {"a tare in kilograms",
       R"({"type": "respool", "at": "2026-03-02T12:00:00Z",
           "body": {"kind": "pc", "tare_g": 0.2}})",
       "T.json /events/0/body/tare_g: expected a number of grams from 5 to 30000, got "
       "0.2; that looks like kilograms: write 200"},
      {"lighter than the new body",
       respool + "," + weighing_at("2026-03-02T13:00:00Z", "160"),
       "T.json /events/1/gross_g: 160.0 g is less than the empty spool's 190.0 g; "
       "check the reading, its unit and the tare"}};
  for (const Row& row : rows) {
    INFO(row.label);
    const auto record = read_record(record_text(row.events), "T.json");
    REQUIRE_FALSE(record.has_value());
    CHECK(record.error().text() == row.error);
  }
}

TEST_CASE("windings that cannot hold what is left") {
  struct Row {
    const char* label;
    std::string winding, error;  // empty: fine
  };
  const std::string where = "T.json /events/0/winding/outer_diameter_mm: ";
  const Row rows[] = {
      {"nothing said", "", ""},
      {"room enough", R"(, "winding": {"outer_diameter_mm": 190})", ""},
      {"inside the old hub", R"(, "winding": {"outer_diameter_mm": 70})",
       where + "the winding ends inside its hub of 80 mm; mend hub_diameter_mm or "
               "outer_diameter_mm"},
      {"too small",
       R"(, "winding": {"hub_diameter_mm": 100, "outer_diameter_mm": 150})",
       where + "the 978 g left do not fit into this winding; mend its sizes, or leave "
               "outer_diameter_mm out"}};
  for (const Row& row : rows) {
    INFO(row.label);
    const SpoolRecord record =
        read(record_text(respool_at("2026-03-03T08:00:00Z", row.winding)));
    const Result<Done> done = check_respools(record, pa6());
    CHECK((done ? std::string() : done.error().text()) == row.error);
  }
}

TEST_CASE("the span a respool falls into goes on behind it") {
  const SpoolRecord record =
      read(record_text(kLife + "," + respool_at("2026-03-03T08:00:00Z")));
  struct Row {
    const char* at;
    std::string spans;
  };
  const Row rows[] = {{"2026-03-03T07:00:00Z", "D S"},
                      {"2026-03-03T08:00:00Z", "D S R"},
                      {"2026-03-03T09:00:00Z", "D S R S"}};
  for (const Row& row : rows) {
    INFO(row.at);
    const Timeline timeline = *make_timeline(record, utc(row.at), kRoom);
    std::string spans;
    for (const Span& span : timeline.spans) {
      spans += spans.empty() ? "" : " ";
      spans += span.respool ? "R" : span.kind == SpanKind::kDrying ? "D" : "S";
    }
    CHECK(spans == row.spans);
    CHECK(timeline.spans.back().to == utc(row.at));
    for (std::size_t k = 1; k < timeline.spans.size(); ++k) {
      CHECK(timeline.spans[k].from == timeline.spans[k - 1].to);
    }
  }
}

TEST_CASE("what was inside is outside, with its water") {
  const std::string at = "2026-03-02T20:00:00Z";
  const Lived before = live(read(record_text(kLife, kOpened)), at);
  const Lived after =
      live(read(record_text(
               kLife + "," + respool_at(at, R"(, "winding": {"hub_diameter_mm": 100})"),
               kOpened)),
           at);
  CHECK(after.mean == Approx(before.mean).epsilon(1e-9));
  double mass = 0;
  for (const double m : after.mass_kg) mass += m;
  CHECK(mass == Approx(0.978).epsilon(1e-9));
  CHECK(after.winding.hub_radius_m == Approx(0.050));
  CHECK(after.winding.fill == Approx(before.winding.fill));
  // Dry outside and wet inside before, the other way round after.
  CHECK(before.content.back() < 0.4 * before.content.front());
  CHECK(after.content.front() < 0.4 * after.content.back());
  CHECK(after.content.front() == Approx(before.content.back()).epsilon(1e-9));
  for (std::size_t k = 1; k < after.content.size(); ++k) {
    INFO("layer " << k << " from the hub");
    CHECK(after.content[k] > after.content[k - 1]);
  }
}

TEST_CASE("wound over and back, the profile is there again") {
  const std::string at = "2026-03-02T20:00:00Z";
  const Lived before = live(read(record_text(kLife, kOpened)), at);
  const Lived after = live(
      read(record_text(kLife + "," + respool_at(at) + "," + respool_at(at), kOpened)),
      at);
  REQUIRE(after.content.size() == before.content.size());
  CHECK(after.mean == Approx(before.mean).epsilon(1e-9));
  // Layers hold pieces of two or three others on the way: off by less than half of the
  // step from layer to layer, about 0.1 % here.
  for (std::size_t k = 0; k < after.content.size(); ++k) {
    INFO("layer " << k);
    CHECK(after.content[k] == Approx(before.content[k]).margin(5e-4));
  }
}

TEST_CASE("a print takes what is outside then") {
  // 100 g from the dry outside before, or from the wet inside after.
  const auto used = [](const char* from, const char* to) {
    return R"({"type": "print", "used_g": 100, "from": ")" + std::string(from) +
           R"(", "to": ")" + to + R"("})";
  };
  const std::string drying =
      kLife.substr(0, kLife.find("},\n  {\"type\": \"storage\"") + 1);
  const std::string respool = respool_at("2026-03-02T21:00:00Z");
  const std::string early = used("2026-03-02T20:00:00Z", "2026-03-02T21:00:00Z");
  const std::string late = used("2026-03-02T21:00:00Z", "2026-03-02T22:00:00Z");
  const std::string end = "2026-03-02T22:00:00Z";
  const Lived first =
      live(read(record_text(drying + "," + early + "," + respool, kOpened)), end);
  const Lived then =
      live(read(record_text(drying + "," + respool + "," + late, kOpened)), end);
  double first_kg = 0, then_kg = 0;
  for (const double m : first.mass_kg) first_kg += m;
  for (const double m : then.mass_kg) then_kg += m;
  CHECK(first_kg == Approx(0.878));
  CHECK(then_kg == Approx(0.878));
  CHECK(first.mean > then.mean + 0.001);
}

TEST_CASE("a finding at the moment of a respool counts by its place") {
  const std::string at = "2026-03-02T20:00:00Z";
  const std::string purge =
      R"({"type": "purge", "at": ")" + at + R"(", "pops": false, "length_mm": 20000})";
  const auto lived = [&](const std::string& events) {
    return live(read(record_text(kLife + "," + events, kOpened)), at);
  };
  const Lived before = lived(purge + "," + respool_at(at));
  const Lived after = lived(respool_at(at) + "," + purge);
  REQUIRE(before.found.size() == 1);
  REQUIRE(after.found.size() == 1);
  // Dry outside before, the wet inside after; so much less water is left.
  CHECK(before.found[0] < 0.4 * after.found[0]);
  CHECK(before.mean > after.mean + 1e-4);
  // 20 m of 1.75 mm.
  const double used_kg =
      20 * std::numbers::pi / 4 * 0.00175 * 0.00175 * pa6().density_kg_m3.value;
  for (const Lived* l : {&before, &after}) {
    double mass = 0;
    for (const double m : l->mass_kg) mass += m;
    CHECK(mass == Approx(0.978 - used_kg).epsilon(1e-9));
  }
}

TEST_CASE("a reading at the moment of a respool counts by its place") {
  const std::string at = "2026-03-03T08:00:00Z";
  const SpoolRecord record =
      read(record_text(kLife + "," + weighing_at(at, "1190") + "," + respool_at(at) +
                           "," + weighing_at(at, "1166") + "," + respool_at(at) + "," +
                           weighing_at(at, "1167"),
                       kOpened));
  const std::vector<OnTheScale> r = live(record, at).readings;
  REQUIRE(r.size() == 3);
  for (std::size_t k = 0; k < 3; ++k) {
    INFO("reading " << k);
    CHECK(r[k].body == k);
    CHECK(r[k].content == Approx(r[0].content).epsilon(1e-9));
  }
  SpoolPriors priors = spool_priors(record, pa6(), body("pc"));
  const Member heavy{.tare_kg = 0.004};
  // The members' tare is that of the first body.
  CHECK(foreseen_kg(r[0], priors, heavy, 0) - foreseen_kg(r[1], priors, heavy, 0) ==
        Approx(0.214 + 0.004 - 0.190).epsilon(1e-6));
}

TEST_CASE("cardboard brings its own water from the respool on") {
  const SpoolRecord record =
      read(record_text(R"({"type": "respool", "at": "2026-03-03T08:00:00Z",
        "body": {"kind": "cardboard", "tare_g": 200},
        "air": {"temperature_c": 23, "rh_percent": 45}},
       {"type": "storage", "from": "2026-03-03T08:00:00Z",
        "air": {"temperature_c": 23, "rh_percent": 75}},)" +
                           weighing_at("2026-03-05T08:00:00Z", "1200"),
                       kOpened));
  Spool spool{.record = record, .material = pa6()};
  spool.timeline = *make_timeline(record, utc("2026-03-05T08:00:00Z"), kRoom);
  const auto water = [&](const std::vector<Body>& later) {
    spool.priors = spool_priors(record, spool.material, body("pc"), later);
    PackSolver own = spool_solver(spool, {});
    return replay(own, spool, {}).readings[0].body_water_kg;
  };
  CHECK(water({}) == 0);
  // Form 3 with k 0.10 and q 0.45 (from memory): 0.0564 at 45 %, 0.1132 at 75 %, per
  // dry board; two days are 32 time constants.
  CHECK(water({body("cardboard")}) ==
        Approx(0.200 / (1 + 0.0564) * (0.1132 - 0.0564)).epsilon(0.01));
}

// Residuals of readings with a common error of sd s and own ones of sd d: the sum of
// squares is r' C^-1 r with C = diag(d^2) + s^2 11', by Sherman and Morrison
//   sum (r/d)^2 - s^2 (sum r/d^2)^2/(1 + s^2 sum 1/d^2)
TEST_CASE("an unknown tare is taken out as its covariance says") {
  SpoolPriors priors;
  priors.later_bodies = {{.tare_kg = 0.19, .tare_sd_kg = 0.003},
                         {.tare_kg = 0.2, .tare_sd_kg = 0.05}};
  const double d[] = {1e-4, 3e-4, 1e-4, 1e-3};
  // A residual and a slope of it, by reading.
  const Eigen::RowVector2d r[] = {
      {0.0021, 0.4}, {0.0018, 0.5}, {0.0024, -0.1}, {-0.0003, 0.9}};
  TareDoubt tare(priors);
  CHECK(tare.residual(0, r[0], 1e-4) == r[0] / 1e-4);
  for (const std::size_t later : {std::size_t{1}, std::size_t{2}}) {
    INFO("body " << later);
    const double s = priors.later_bodies[later - 1].tare_sd_kg;
    Eigen::Matrix2d sum = Eigen::Matrix2d::Zero(), own = sum;
    Eigen::RowVector2d common = Eigen::RowVector2d::Zero();
    double weight = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      const Eigen::RowVectorXd out = tare.residual(later, r[k], d[k]);
      sum += out.transpose() * out;
      own += r[k].transpose() * r[k] / (d[k] * d[k]);
      common += r[k] / (d[k] * d[k]);
      weight += 1 / (d[k] * d[k]);
    }
    // Sherman and Morrison's inverse of diag(d^2) + s^2, all elements.
    const Eigen::Matrix2d expected =
        own - s * s * common.transpose() * common / (1 + s * s * weight);
    CHECK(sum.isApprox(expected, 1e-9));
  }
}

TEST_CASE("weighings behind a respool are read with the new tare") {
  // Before: 978 g of filament with 2.8 % on 214 g; the new body is 24 g lighter.
  const std::string at = "2026-03-02T08:00:00Z";
  const auto fitted = [&](const std::string& events) {
    Spool spool{.record = read(record_text(events, kOpened)), .material = pa6()};
    spool.priors = spool_priors(spool.record, spool.material, body("pc"));
    spool.timeline = *make_timeline(spool.record, utc("2026-03-02T09:00:00Z"), kRoom);
    PosteriorOptions options;
    options.draws = 200;
    options.steps = 4;
    return fit_spool(spool, options);
  };
  const SpoolFit good = fitted(weighing_at(at, "1219.4") + "," + respool_at(at) + "," +
                               weighing_at(at, "1195.4"));
  REQUIRE(good.readings.size() == 2);
  CHECK(std::abs(good.readings[1].off) < 1);
  CHECK(good.suspects.empty());
  // As if the new body weighed what the old one did: 24 g off, with 3 g of doubt.
  const SpoolFit wrong = fitted(weighing_at(at, "1219.4") + "," + respool_at(at) + "," +
                                weighing_at(at, "1219.4"));
  CHECK(std::abs(wrong.readings[1].off) > 4);
  CHECK(wrong.suspects.size() == 1);
}

TEST_CASE("odd weighings are odd by the new body") {
  const SpoolRecord record =
      read(record_text(weighing_at("2026-03-02T09:00:00Z", "1219") + "," +
                       respool_at("2026-03-02T10:00:00Z")));
  const auto doubts_of = [&](double gross_kg) {
    return doubts(record,
                  Weighing{.at = utc("2026-03-02T11:00:00Z"), .gross_kg = gross_kg},
                  pa6());
  };
  CHECK(doubts_of(1.195).empty());  // 24 g less than before, as the tare is
  CHECK(doubts_of(1.050) == std::vector<std::string>{
                                "gross less tare is 860.0 g, by label and prints 978.0 "
                                "g should be left: was some use not logged?"});
}

TEST_CASE("a respool ends nothing and can be taken out again") {
  const SpoolRecord record = read(record_text(kLife, kOpened));
  Respool respool{.at = utc("2026-03-03T08:00:00Z")};
  respool.body = {.kind = "pc", .tare_kg = 0.19};
  const auto with = append_event(record, respool);
  REQUIRE(with.has_value());
  REQUIRE(with->events.size() == 3);
  CHECK_FALSE(std::get<Interval>(with->events[1]).to);
  CHECK(std::get<Respool>(with->events[2]).body.tare_sd_kg == Approx(0.005));
  const auto without = remove_event(*with, std::nullopt, utc("2026-03-03T09:00:00Z"));
  REQUIRE(without.has_value());
  CHECK(without->events.size() == 2);
  CHECK(without->text.find("\"type\": \"respool\"") != std::string::npos);  // history
}

}  // namespace
}  // namespace drydepth
