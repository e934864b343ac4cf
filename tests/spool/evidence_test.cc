#include "spool/evidence.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "base/numbers.h"
#include "moisture/consumption.h"
#include "moisture/pack_state.h"
#include "record/record_text.h"
#include "spool/fit/fit.h"
#include "spool/replay.h"

namespace drydepth {
namespace {

constexpr double kLimit = 0.005;  // cosmetic, pa6
constexpr StatedAir kRoom{296.15, 0.45};
constexpr PosteriorOptions kOptions{
    .members = 48, .draws = 600, .steps = 20, .threads = 2};

Material pa6() { return *find_material(*load_materials(), "pa6", "test"); }

// An invented spool: twelve hours at 82 C, weighed cold before and after.
std::string spool_text(const std::string& events) {
  return R"({"format": "drydepth-spool/1", "id": "S-1", "material": "pa6",
    "filament": {"diameter_mm": 1.75},
    "winding": {"hub_diameter_mm": 80, "width_mm": 55, "outer_diameter_mm": 185,
                "full_net_g": 978},
    "body": {"kind": "pc", "tare_g": 214},
    "opened": {"at": "2026-03-05T17:00:00Z", "temperature_c": 23,
               "moisture_percent": 2.5, "moisture_sd_percent": 0.6},
    "events": [)" +
         events + "]}";
}

const std::string kDrying =
    R"({"type": "drying", "from": "2026-03-05T18:00:00Z", "to": "2026-03-06T06:00:00Z",
        "air": {"temperature_c": 82, "room": {"temperature_c": 23, "rh_percent": 40}}})";

std::string weighing(const char* at, double gross_kg) {
  return R"({"type": "weighing", "at": ")" + std::string(at) + R"(", "gross_g": )" +
         format_fixed(gross_kg * 1000, 1) + R"(, "scale_sd_g": 0.1})";
}

// 2.8 g, 1 mg: a metre.
std::string piece(double loss) {
  return R"({"type": "piece", "at": "2026-03-06T07:31:00Z", "before_g": )" +
         format_fixed(2.8 * (1 + loss), 4) +
         R"(, "after_g": 2.8, "scale_sd_g": 0.001, "dried_c": 80})";
}

Spool make_spool(const std::string& events) {
  Spool out;
  out.record = read(spool_text(events));
  out.material = pa6();
  out.priors =
      spool_priors(out.record, out.material, *find_body(*load_bodies(), "pc", "test"));
  const Instant at = utc("2026-03-06T08:00:00Z");
  out.timeline = *make_timeline(out.record, at, kRoom);
  out.timeline.evidence =
      outer_evidence(out.record, out.material, *load_evidence_rules(), kRoom, at);
  return out;
}

struct End {
  double outer = 0, depth_kg = 0;
};

End end_of(const Spool& spool, const Member& member) {
  PackSolver solver = spool_solver(spool, member);
  const PackState state = replay(solver, spool, member).state;
  return {outer_content(solver.model(), state, 0),
          dry_depth_kg(solver.model(), state, kLimit)};
}

struct Ends {
  Percentiles outer, depth_kg;
};

Ends ends_of(const Spool& spool, const std::vector<Member>& members) {
  std::vector<double> outer, depth;
  for (const Member& m : members) {
    const End end = end_of(spool, m);
    outer.push_back(end.outer);
    depth.push_back(end.depth_kg);
  }
  return {percentiles(outer), percentiles(depth)};
}

SpoolFit fit(const Spool& spool, const PosteriorOptions& options = kOptions) {
  return fit_spool(spool, options);
}

double share_above(const Spool& spool, const std::vector<Member>& members) {
  std::size_t n = 0;
  for (const Member& m : members) n += end_of(spool, m).outer > kLimit;
  return static_cast<double>(n) / static_cast<double>(members.size());
}

double width(const Percentiles& p) { return p.p90 - p.p10; }

// What a spool of these properties shows: both weighings, and the loss of a piece.
struct Shown {
  double first_kg = 0, second_kg = 0, loss = 0;
};

Shown show(const Member& truth) {
  const Spool spool =
      make_spool(weighing("2026-03-05T17:40:00Z", 1.2) + "," + kDrying + "," +
                 weighing("2026-03-06T07:30:00Z", 1.2) + "," + piece(0.005));
  PackSolver solver = spool_solver(spool, truth);
  const Life life = replay(solver, spool, truth);
  return {foreseen_kg(life.readings[0], spool.priors, truth, 0),
          foreseen_kg(life.readings[1], spool.priors, truth, 0),
          foreseen_loss(*spool.timeline.evidence[0].piece, life.outer[0],
                        solver.model().polymer)};
}

std::string weighed(const Shown& shown) {
  return weighing("2026-03-05T17:40:00Z", shown.first_kg) + "," + kDrying + "," +
         weighing("2026-03-06T07:30:00Z", shown.second_kg);
}

Sign sign(double seen) {
  return {.noted = "a sign",
          .seen = seen,
          .turning = kLimit,
          .spread_log = 0.5,
          .share_above = 0.6,
          .share_below = 0.1};
}

}  // namespace

TEST_CASE("a sign's likelihood, by hand") {
  const struct {
    const char* label;
    double seen, content, likelihood;
  } rows[] = {
      {"seen, far above", 1, 1.0, 1.0},
      {"seen, at the turning point", 1, 0.005, 0.35 / 0.6},  // Phi(0) = 1/2
      {"seen, far below", 1, 1e-6, 0.1 / 0.6},
      {"seen, nothing there", 1, 0, 0.1 / 0.6},
      // ln(0.005 e^0.5/0.005)/0.5 = 1, Phi(1) = 0.841345.
      {"seen, one width above", 1, 0.005 * std::exp(0.5), (0.1 + 0.5 * 0.841345) / 0.6},
      {"not seen, far below", 0, 1e-6, 1.0},
      {"not seen, far above", 0, 1.0, 0.4 / 0.9},
      // Equally likely to have been there or not: 0.5 p + 0.5 (1 - p), whatever X.
      {"undecided, far above", 0.5, 1.0, 1.0},
      {"undecided, far below", 0.5, 1e-6, 1.0},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(likelihood(sign(row.seen), row.content) ==
          Approx(row.likelihood).epsilon(1e-5));
  }
  CHECK(strongest_odds(sign(1)) == Approx(6.0));
  CHECK(strongest_odds(sign(0)) == Approx(0.4 / 0.9));
  CHECK(strongest_odds(sign(0.5)) == Approx(1.0));
  OuterEvidence purge{.kind = FindingKind::kPurge, .signs = {sign(1)}};
  const auto r = evidence_residuals({purge}, {0.005}, to_polymer(pa6()));
  REQUIRE(r.size() == 1);
  CHECK(std::exp(-r[0] * r[0] / 2) == Approx(0.35 / 0.6));
}

TEST_CASE("tests of one kind close in time count as one") {
  const Spool spool =
      make_spool(kDrying +
                 R"(, {"type": "purge", "at": "2026-03-06T06:30:00Z", "pops": 4},
         {"type": "purge", "at": "2026-03-06T06:40:00Z", "pops": true},
         {"type": "purge", "at": "2026-03-06T06:50:00Z", "pops": 1, "strings": true})");
  const auto& all = spool.timeline.evidence;
  REQUIRE(all.size() == 3);
  const double once = 0.6 / 0.08;  // the shares of rules/evidence.json
  CHECK(strongest_odds(all[0].signs[0]) == Approx(std::cbrt(once)));
  CHECK(strongest_odds(all[1].signs[0]) == Approx(std::cbrt(once)));
  CHECK(all[0].signs[0].noted == "4 pops");
  CHECK(all[1].signs[0].noted == "pops");
  // One pop counts as none.
  CHECK(all[2].signs[0].noted == "1 pop");
  CHECK(strongest_odds(all[2].signs[0]) == Approx(std::cbrt(0.4 / 0.92)));
  CHECK(strongest_odds(all[2].signs[1]) == Approx(std::cbrt(0.7 / 0.4)));
}

TEST_CASE("a piece: what it lost, what it keeps, how sure") {
  // 80 C from a room at 23 C, 45 %: a = 0.45 * 2.811/47.41 = 0.02668 (kPa, IAPWS), X =
  // 0.045 a/(1 - 0.53 a) exp(4000/8.314 (1/353.15 - 1/296.15)) = 0.00094.
  const Spool spool = make_spool(kDrying + "," + piece(0.02));
  const PieceDatum& datum = *spool.timeline.evidence[0].piece;
  const Polymer polymer = to_polymer(spool.material);
  CHECK(piece_floor(datum, polymer) == Approx(0.00094).epsilon(0.02));
  CHECK(datum.loss == Approx(0.02));
  // (0.02 * 1.00094 + 0.00094)/0.97
  CHECK(measured_content(datum, polymer) == Approx(0.02161).epsilon(0.002));
  CHECK(foreseen_loss(datum, measured_content(datum, polymer), polymer) ==
        Approx(0.02));
  // 1 mg on 2.8 g twice: 0.0510 %; floor 0.3 * 0.094; left 0.03 * 2; handling 0.015 *
  // 3.06 (0.045 * 0.5/(1 - 0.265)): 0.0282, 0.06, 0.0459; together 0.0956 %.
  CHECK(datum.sd * 100 == Approx(0.0956).epsilon(0.01));
  CHECK(spool.timeline.evidence[0].used_kg == Approx(0.0028));
}

TEST_CASE("a piece alone is fitted") {
  const Spool with_piece = make_spool(kDrying + "," + piece(0.008));
  const SpoolFit fitted = fit(with_piece);
  REQUIRE(fitted.evidence.size() == 1);
  CHECK(fitted.readings.empty());
  CHECK_FALSE(fitted.detectable);
  CHECK(fitted.suspects.empty());
  CHECK(width(fitted.evidence[0].fitted) < 0.7 * width(fitted.evidence[0].foreseen));
  CHECK(fitted.evidence[0].fitted.p10 < fitted.evidence[0].measured);
  CHECK(fitted.evidence[0].fitted.p90 > fitted.evidence[0].measured);
}

TEST_CASE(
    "one piece narrows the depth that weighings leave open, and holds the truth") {
  Member truth;
  truth.diffusivity = 0.6;
  truth.gap_factor = 1.2;
  truth.tare_kg = 0.002;
  const Shown shown = show(truth);
  const Spool without = make_spool(weighed(shown));
  const Spool with = make_spool(weighed(shown) + "," + piece(shown.loss));
  const PosteriorOptions whole{.threads = 2};  // as the tool runs it
  const Ends before = ends_of(without, fit(without, whole).members);
  const SpoolFit fitted = fit(with, whole);
  const Ends after = ends_of(with, fitted.members);
  const End is = end_of(with, truth);
  CHECK(width(after.depth_kg) < 0.7 * width(before.depth_kg));
  CHECK(after.depth_kg.p10 <= is.depth_kg);
  CHECK(after.depth_kg.p90 >= is.depth_kg);
  CHECK(after.outer.p10 <= is.outer);
  CHECK(after.outer.p90 >= is.outer);
  CHECK(fitted.suspects.empty());
}

// The table of docs/model.md; minutes, so that it runs by name only.
TEST_CASE("what findings tell", "[.]") {
  const PosteriorOptions many{.members = 256, .steps = 80};
  const struct {
    const char* label;
    double diffusivity;
  } rows[] = {{"slow strand", 0.6}, {"as the rules have it", 1.0}, {"fast", 1.6}};
  for (const auto& row : rows) {
    Member truth;
    truth.diffusivity = row.diffusivity;
    truth.gap_factor = 1.2;
    truth.tare_kg = 0.002;
    const Shown shown = show(truth);
    const Spool without = make_spool(weighed(shown));
    const Spool with = make_spool(weighed(shown) + "," + piece(shown.loss));
    const Ends before = ends_of(without, fit(without, many).members);
    const Ends after = ends_of(with, fit(with, many).members);
    const End is = end_of(with, truth);
    const auto range = [](const Percentiles& p, double factor, int decimals) {
      return format_fixed(p.p10 * factor, decimals) + "-" +
             format_fixed(p.p90 * factor, decimals);
    };
    WARN(row.label << ": outer % " << range(before.outer, 100, 2) << ", with a piece "
                   << range(after.outer, 100, 2) << ", truth " << is.outer * 100
                   << "; depth g " << range(before.depth_kg, 1000, 0)
                   << ", with a piece " << range(after.depth_kg, 1000, 0) << ", truth "
                   << is.depth_kg * 1000);
    CHECK(width(after.depth_kg) < width(before.depth_kg));
    CHECK(after.outer.p10 <= is.outer);
    CHECK(after.outer.p90 >= is.outer);
  }
}

TEST_CASE("signs move the outer wraps the right way, never by more than their odds") {
  // Against the priors alone: those members lie evenly, without noise of a fit.
  const Spool plain = make_spool(kDrying);
  const PosteriorOptions many{.members = 96, .draws = 500, .steps = 10, .threads = 2};
  const std::vector<Member> before = fit(plain, many).members;
  const double share_before = share_above(plain, before);
  const Ends ends_before = ends_of(plain, before);
  const struct {
    const char* label;
    const char* finding;
    bool wetter;
  } rows[] = {
      {"large offset", R"("coupon", "lengths": [{"design_mm": 20, "measured_mm": 20.33},
        {"design_mm": 100, "measured_mm": 99.47}])",
       true},
      {"small offset", R"("coupon", "lengths": [{"design_mm": 20, "measured_mm": 19.91},
        {"design_mm": 100, "measured_mm": 99.40}])",
       false},
      {"pops and strings", R"("purge", "pops": 5, "strings": true)", true},
      {"neither", R"("purge", "pops": false, "strings": false)", false},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const Spool spool = make_spool(
        kDrying + R"(, {"at": "2026-03-06T07:31:00Z", "type": )" + row.finding + "}");
    const std::vector<Member> after = fit(spool, many).members;
    const Ends ends = ends_of(spool, after);
    double odds = 1;
    for (const Sign& s : spool.timeline.evidence[0].signs) odds *= strongest_odds(s);
    const double share = share_above(spool, after);
    INFO("outer p50 " << ends_before.outer.p50 << " -> " << ends.outer.p50
                      << ", share above the limit " << share_before << " -> " << share
                      << ", odds " << odds);
    CHECK((odds > 1) == row.wetter);
    CHECK((ends.outer.p50 > ends_before.outer.p50) == row.wetter);
    CHECK((share >= share_before) == row.wetter);
    // The share of 96 members is good to 5 %.
    const double most = odds * share_before / (1 - share_before + odds * share_before);
    if (row.wetter) CHECK(share <= most + 0.08);
    if (!row.wetter) CHECK(share >= most - 0.08);
  }
}

TEST_CASE("a piece that cannot be is named with its time and the likely mistakes") {
  const Shown shown = show(Member{});
  const Spool spool = make_spool(weighed(shown) + "," + piece(0.08));
  const SpoolFit fitted = fit(spool);
  REQUIRE_FALSE(fitted.suspects.empty());
  const std::string& last = fitted.suspects.back();
  INFO(last);
  CHECK(last.starts_with("the piece cut at 2026-03-06T07:31:00Z (8."));
  CHECK(last.ends_with(
      "above what the rest of the record foresees: weighed late in damp air, cut from "
      "deeper inside, or did something fall off or boil out of it?"));
}

TEST_CASE("what is left out tells nothing and is used up all the same") {
  Spool spool = make_spool(kDrying + "," + piece(0.008));
  CHECK(anything_to_fit(spool.timeline));
  spool.timeline.evidence = unlearned(spool.timeline.evidence);
  CHECK_FALSE(anything_to_fit(spool.timeline));
  CHECK_FALSE(tells(spool.timeline.evidence));
  PackSolver solver = spool_solver(spool, Member{});
  const PackState state = replay(solver, spool, Member{}).state;
  CHECK(remaining_mass_kg(solver.model(), state) ==
        Approx(dry_mass_kg(solver.model().winding) - 0.0028));
}

}  // namespace drydepth
