#include "spool/fit/fit.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/numbers.h"
#include "moisture/pack_state.h"
#include "record/record.h"
#include "spool/replay.h"

using namespace drydepth;

namespace {

constexpr PosteriorOptions kOptions{
    .members = 32, .draws = 1200, .steps = 4, .threads = 2};

// An invented spool: storage, twelve hours at 82 C, a reading every two hours.
std::string record_text(const std::string& readings, const std::string& opened,
                        const std::string& body = R"("kind": "pc", "tare_g": 214)",
                        const std::string& before = "") {
  return R"({"format": "drydepth-spool/1", "id": "K-07", "material": "pa6",
    "filament": {"diameter_mm": 1.75},
    "winding": {"hub_diameter_mm": 80, "width_mm": 55, "outer_diameter_mm": 185,
                "full_net_g": 978},
    "body": {)" +
         body + R"(}, "opened": {"at": "2026-03-05T17:00:00Z")" + opened + R"(},
    "events": [)" +
         before + R"({"type": "drying", "from": "2026-03-05T18:00:00Z",
                "to": "2026-03-06T06:00:00Z",
                "air": {"temperature_c": 82,
                        "room": {"temperature_c": 23, "rh_percent": 40}}})" +
         readings + "]}";
}

constexpr const char* kOpened =
    R"(, "temperature_c": 23, "moisture_percent": 2.5, "moisture_sd_percent": 0.6)";

Spool make_case(const std::string& text, const char* material = "pa6") {
  Spool out;
  const auto record = read_record(text, "K-07.json");
  INFO((record ? "" : record.error().text()));
  REQUIRE(record);
  out.record = *record;
  out.material = *find_material(*load_materials(), material, "test");
  out.priors = spool_priors(out.record, out.material,
                            *find_body(*load_bodies(), out.record.body.kind, "test"));
  out.timeline = *make_timeline(out.record, *parse_instant("2026-03-06T06:00:00Z"),
                                StatedAir{296.15, 0.45});
  return out;
}

std::string reading(int minutes_after_18, double gross_g, const char* sd = "0.1") {
  const Instant at =
      *parse_instant("2026-03-05T18:00:00Z") + Seconds(60 * minutes_after_18);
  return R"(, {"type": "weighing", "at": ")" + format_instant(at) +
         R"(", "gross_g": )" + format_fixed(gross_g, 1) + R"(, "scale_sd_g": )" + sd +
         "}";
}

// What a spool of other properties than the central ones would show on the scale.
struct Truth {
  std::vector<double> gross_g;
  double mean = 0;
};

Truth simulate(const Member& member, const std::vector<int>& minutes) {
  std::string readings;
  for (const int m : minutes) readings += reading(m, 1200);
  const Spool c = make_case(record_text(readings, kOpened));
  PackSolver solver = spool_solver(c, member);
  const Life life = replay(solver, c, member);
  Truth out;
  for (const OnTheScale& s : life.readings) {
    out.gross_g.push_back(foreseen_kg(s, c.priors, member, 0) * 1000.0);
  }
  out.mean = mean_content(solver.model(), life.state);
  return out;
}

std::string as_readings(const Truth& truth, const std::vector<int>& minutes,
                        const char* sd = "0.1") {
  std::string out;
  for (std::size_t k = 0; k < minutes.size(); ++k) {
    out += reading(minutes[k], truth.gross_g[k], sd);
  }
  return out;
}

const std::vector<int> kTwoHourly{0, 120, 240, 360, 480, 600, 720};

}  // namespace

TEST_CASE("without readings the members are the priors' own") {
  const Spool c = make_case(record_text("", kOpened));
  const SpoolFit fit = fit_spool(c, kOptions);
  const auto priors = draw_members(c.priors.spread, 32, 1);
  REQUIRE(fit.members.size() == 32);
  CHECK(fit.members[5].gap_factor == priors[5].gap_factor);
  CHECK_FALSE(fit.detectable);
}

TEST_CASE("readings find a gap factor and a mean that the priors did not know") {
  Member truth;
  truth.gap_factor = 1.9;
  truth.opening_content = 0.004;
  truth.tare_kg = 0.003;
  const Truth shown = simulate(truth, kTwoHourly);
  const Spool c = make_case(record_text(as_readings(shown, kTwoHourly), kOpened));
  const SpoolFit fit = fit_spool(c, kOptions);
  CHECK(fit.suspects.empty());
  CHECK(fit.misfit < 7);
  std::vector<double> gaps;
  for (const Member& m : fit.members) gaps.push_back(m.gap_factor);
  const Percentiles gap = percentiles(gaps);
  CHECK(gap.p10 < 1.9);
  CHECK(gap.p90 > 1.9);
  CHECK(gap.p10 > 0.8);  // the prior alone goes down to 0.46
  CHECK(fit.mean_posterior.p10 <= shown.mean + 0.0005);
  CHECK(fit.mean_posterior.p90 >= shown.mean - 0.0005);
  CHECK(fit.mean_posterior.p90 - fit.mean_posterior.p10 <
        0.9 * (fit.mean_prior.p90 - fit.mean_prior.p10));
  for (const ReadingFit& r : fit.readings) {
    CHECK(std::abs(r.off) < 3);
    CHECK(r.foreseen_kg.p10 <= r.foreseen_kg.p90);
  }
}

TEST_CASE("the same fit whatever the threads") {
  const Truth shown = simulate(Member{}, {0, 360, 720});
  const Spool c = make_case(record_text(as_readings(shown, {0, 360, 720}), kOpened));
  PosteriorOptions options = kOptions;
  options.threads = 1;
  const SpoolFit one = fit_spool(c, options);
  options.threads = 3;
  const SpoolFit three = fit_spool(c, options);
  for (std::size_t k = 0; k < one.members.size(); ++k) {
    CHECK(one.members[k].gap_factor == three.members[k].gap_factor);
    CHECK(one.members[k].diffusivity == three.members[k].diffusivity);
  }
}

TEST_CASE("a reading that cannot be is named with its time and the likely mistakes") {
  Truth shown = simulate(Member{}, kTwoHourly);
  shown.gross_g[4] += 12;
  const Spool c = make_case(record_text(as_readings(shown, kTwoHourly), kOpened));
  const SpoolFit fit = fit_spool(c, kOptions);
  REQUIRE(fit.suspects.size() >= 2);
  CHECK(fit.suspects[0].starts_with("the reading at 2026-03-06T02:00:00Z is "));
  CHECK(fit.suspects[0].ends_with(
      "above the one before, in a dryer: another spool, the lid or a tag on the scale, "
      "or a drying that had stopped?"));
}

TEST_CASE("a scale can only tell what it can tell") {
  const Truth shown = simulate(Member{}, {0, 720});
  const struct {
    const char* sd;
    double percent;
  } rows[] = {{"0.1", 0.0283}, {"1", 0.283}};
  // The first reading is cold: its sd is the scale's own.
  for (const auto& row : rows) {
    INFO(row.sd);
    const std::string cold = reading(-30, shown.gross_g[0], row.sd).substr(2) + ", ";
    const Spool c =
        make_case(record_text(reading(720, shown.gross_g[1], row.sd), kOpened,
                              R"("kind": "pc", "tare_g": 214)", cold));
    const SpoolFit fit = fit_spool(c, kOptions);
    REQUIRE(fit.detectable);
    // 1.96 sqrt(2) sd over 978 g.
    CHECK(*fit.detectable * 100.0 == Approx(row.percent).epsilon(0.01));
  }
}

TEST_CASE("a cardboard body hides its own water in the reading") {
  const char* cardboard = R"("kind": "cardboard", "tare_g": 200)";
  const Spool c =
      make_case(record_text(reading(0, 1200) + reading(720, 1200), kOpened, cardboard));
  PackSolver solver = spool_solver(c, Member{});
  const Life life = replay(solver, c, Member{});
  CHECK(life.readings[0].body_water_kg == Approx(0).margin(1e-4));
  // 200 g at 45 % holds k a/(1 - q a) = 0.10*0.45/(1 - 0.45*0.45) = 5.6 %, and all but
  // a tenth of that goes in a dryer at 2 %.
  CHECK(life.readings[1].body_water_kg < -0.008);
  CHECK(life.readings[1].body_water_kg > -0.0115);
}
