#include "report/evidence_text.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "report/history.h"
#include "report/piece_text.h"

namespace drydepth {
namespace {

SpoolReport spool_report() {
  const Spool dried = dried_spool();
  return {.of = dried};
}

}  // namespace

TEST_CASE("findings in a record's history") {
  const Instant at = *parse_instant("2026-03-06T06:10:00Z");
  const struct {
    Event event;
    const char* text;
  } rows[] = {
      {Piece{.at = at, .before_kg = 3.42e-3, .after_kg = 3.35e-3},
       "piece 3.42 g, dried out 3.35 g, cut at 2026-03-06 06:10"},
      {Piece{.at = at,
             .before_kg = 3.42e-3,
             .after_kg = 3.35e-3,
             .scale_sd_kg = 1e-6,
             .dried_k = 353.15},
       "piece 3.42 g, dried out 3.35 g +- 0.001 g at 80 C, cut at 2026-03-06 06:10"},
      {Coupon{.at = at, .lengths = {{0.02, 0.02033}, {0.1, 0.09947}}},
       "coupon 20=20.33 100=99.47 mm at 2026-03-06 06:10"},
      {Purge{.at = at, .pops = true, .pop_count = 1, .strings = false},
       "purge: 1 pop, no strings at 2026-03-06 06:10"},
      {Purge{.at = at, .pops = false, .length_m = 0.1},
       "purge: no pops, of 100 mm at 2026-03-06 06:10"},
  };
  for (const auto& row : rows) CHECK(event_text(row.event, utc_zone()) == row.text);
}

TEST_CASE("what each finding did, a sentence each") {
  SpoolReport spool = spool_report();
  const double metre_kg = 1000 * kg_per_mm(spool);
  OuterEvidence piece{
      .kind = FindingKind::kPiece,
      .mass_kg = 1.2 * metre_kg,
      .piece = PieceDatum{.loss = 0.02, .sd = 0.001, .dried_k = 353.15}};
  spool.fit.evidence.push_back({.found = piece,
                                .measured = 0.021,
                                .foreseen = {0.014, 0.018, 0.023},
                                .fitted = {0.0205, 0.021, 0.0215}});
  OuterEvidence purge{
      .kind = FindingKind::kPurge,
      .signs = {{.noted = "5 pops", .share_above = 0.6, .share_below = 0.06},
                {.noted = "strings", .share_above = 0.7, .share_below = 0.35}}};
  spool.fit.evidence.push_back({.found = purge,
                                .foreseen = {0.014, 0.018, 0.023},
                                .fitted = {0.016, 0.019, 0.024}});
  const auto sentences = evidence_sentences(spool);
  REQUIRE(sentences.size() == 2);
  // 1.2 m of pa6: 1.2 * pi/4 * 0.00175^2 * 1130 = 3.262 g, and 2 % of water.
  CHECK(sentences[0] ==
        "piece of 3.3 g: 2.10 +- 0.10 % in the outermost 1.2 m (it lost 2.00 %; the "
        "rest does not leave at 80 C in that room's air); without such findings the "
        "ensemble foresaw 1.40-2.30 %, now 2.05-2.15 %");
  CHECK(sentences[1] ==
        "purge: 5 pops (odds 10.0 to 1 at most towards wetter), strings (odds 2.0 to 1 "
        "at most towards wetter); the outermost wraps were foreseen at 1.40-2.30 %, "
        "now at 1.60-2.40 %");
}

TEST_CASE("how much to cut for a scale, and how to dry it") {
  const SpoolReport spool = spool_report();
  DryingReport d{.scale_sd_kg = 1e-5, .piece_kg = 0.0283};
  d.next.weighing.narrows = 0.03;
  d.next.piece_narrows = 0.4;
  const std::string begin =
      "a piece cut from the outermost wraps now, weighed before and after drying it "
      "out by itself, narrows the dry depth by about 40 %, another weighing by 3 %: ";
  // 28.3 g at 2.718 g/m.
  const auto advice = piece_advice(d, spool);
  REQUIRE(advice.size() == 2);
  CHECK(advice[0] == begin + "cut 10.4 m (28 g) for a scale of 10 mg");
  CHECK(
      advice[1].starts_with("weigh the piece at once or seal it; coil it loosely and "
                            "dry it by itself at no more than 85 C (what pa6 is "
                            "rated for; "));
  d.scale_sd_kg = 1e-4;
  d.piece_kg = 0.283;
  CHECK(piece_advice(d, spool)[0] ==
        begin +
            "it would take 104.1 m (283 g) for a scale of 0.1 g, so find a finer "
            "one: 10.4 m (28 g) for 10 mg, 1.0 m (2.8 g) for 1 mg");
  d.next.weighing.narrows = 0.39;
  CHECK(piece_advice(d, spool).empty());
}

}  // namespace drydepth
