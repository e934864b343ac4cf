#include "guard/sensitivity.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "guard/dried_spool.h"
#include "moisture/pack_state.h"
#include "spool/fit/fit.h"

using namespace drydepth;

namespace {

constexpr double kLimit = 0.005;

// Places in a member's vector of normals.
enum : std::size_t { kGap, kStrand, kBody = 8, kDryMass, kTare, kUsed, kDrift };

const InputEffect* find(const Sensitivity& s, std::size_t unknown) {
  const auto at =
      std::find_if(s.inputs.begin(), s.inputs.end(),
                   [&](const InputEffect& i) { return i.unknown == unknown; });
  return at == s.inputs.end() ? nullptr : &*at;
}

Answer answer(const Spool& dried, const Member& member) {
  PackSolver solver = spool_solver(dried, member);
  const PackState state = replay(solver, dried, member).state;
  return {dry_depth_kg(solver.model(), state, kLimit),
          mean_content(solver.model(), state)};
}

// The same spool, weighed at both ends of its drying (invented readings).
Spool weighed_contest() {
  Spool out = dried_spool();
  for (const auto& [at, gross_kg] :
       {std::pair{"2026-03-05T18:00:00Z", 1.2190}, {"2026-03-06T05:59:00Z", 1.2040}}) {
    out.timeline.readings.push_back(
        {.at = *parse_instant(at), .gross_kg = gross_kg, .scale_sd_kg = 1e-4});
  }
  return out;
}

Sensitivity of(const Spool& dried, const std::vector<Member>& members) {
  return find_sensitivity(dried, kLimit, members, 0);
}

}  // namespace

TEST_CASE("each input alone, and only those that do something") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 64, 1);
  const Sensitivity s = of(dried, members);
  CHECK(s.members == 64);
  CHECK(s.middle.mean == answer(dried, Member{}).mean);  // draws are symmetric
  // Nothing was weighed or printed, and the body holds no water.
  for (const std::size_t idle :
       {std::size_t{kDryMass}, std::size_t{kTare}, std::size_t{kUsed},
        std::size_t{kDrift}, std::size_t{kBody}}) {
    INFO("unknown " << idle);
    CHECK(find(s, idle) == nullptr);
  }
  CHECK(s.inputs.size() == 8);
  const InputEffect* strand = find(s, kStrand);
  REQUIRE(strand != nullptr);
  for (std::size_t side = 0; side < 2; ++side) {
    CHECK(strand->answer[side].depth_kg == answer(dried, strand->moved[side]).depth_kg);
  }
  // A faster strand lets the outer wraps go sooner.
  CHECK(strand->moved[0].diffusivity < 1);
  CHECK(strand->moved[1].diffusivity > 1);
  CHECK(strand->answer[0].depth_kg < s.middle.depth_kg);
  CHECK(strand->answer[1].depth_kg > s.middle.depth_kg);
}

TEST_CASE("largest first, and all of it together is all") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 64, 1);
  const Sensitivity s = of(dried, members);
  REQUIRE(s.depth_varies);
  REQUIRE(s.mean_varies);
  double depth = s.depth_unexplained, mean = s.mean_unexplained;
  for (std::size_t i = 0; i < s.inputs.size(); ++i) {
    depth += s.inputs[i].depth_share;
    mean += s.inputs[i].mean_share;
    if (i > 0) CHECK(s.inputs[i].depth_share <= s.inputs[i - 1].depth_share);
  }
  CHECK(depth == Approx(1).margin(1e-12));
  CHECK(mean == Approx(1).margin(1e-12));
  CHECK(s.inputs.front().unknown == kStrand);
  CHECK(s.share_sd > 0.01);
  CHECK(s.share_sd < 0.2);
}

TEST_CASE("a tare moves no water but counts through the weighings") {
  Spool dried = weighed_contest();
  dried.priors.spread.dry_mass = 0.001;  // as if the label were good to 1 g
  PosteriorOptions options;
  options.draws = 300;
  options.steps = 8;
  const SpoolFit fit = fit_spool(dried, options);
  const Sensitivity s = of(dried, fit.members);
  const InputEffect* tare = find(s, kTare);
  REQUIRE(tare != nullptr);
  CHECK(tare->answer[0].mean == s.middle.mean);
  CHECK(tare->answer[1].mean == s.middle.mean);
  CHECK(find(s, kDryMass) != nullptr);
  CHECK(find(s, kUsed) == nullptr);
  // The readings hold the sum of tare (5 g) and water (4 g): with either known the mean
  // is narrower, which no run with the tare alone moved could show.
  CHECK(tare->mean_share > 0.2);
  CHECK(tare->mean_narrows > 0.2);
}

TEST_CASE("drier air reaches deeper") {
  const Sensitivity s = of(dried_spool(), nominal_member());
  REQUIRE(s.humidity);
  CHECK((*s.humidity)[0].depth_kg > s.middle.depth_kg);
  CHECK((*s.humidity)[1].depth_kg < s.middle.depth_kg);
  CHECK((*s.humidity)[0].mean < s.middle.mean);
}

TEST_CASE("one member has no spread") {
  const Sensitivity s = of(dried_spool(), nominal_member());
  CHECK_FALSE(s.depth_varies);
  CHECK_FALSE(s.mean_varies);
  CHECK(s.inputs.empty());
}

TEST_CASE("the same on one thread and on three") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 40, 2);
  const Sensitivity a = find_sensitivity(dried, kLimit, members, 1);
  const Sensitivity b = find_sensitivity(dried, kLimit, members, 3);
  REQUIRE(a.inputs.size() == b.inputs.size());
  for (std::size_t i = 0; i < a.inputs.size(); ++i) {
    INFO("input " << i);
    CHECK(a.inputs[i].unknown == b.inputs[i].unknown);
    CHECK(a.inputs[i].depth_share == b.inputs[i].depth_share);
    CHECK(a.inputs[i].answer[0].mean == b.inputs[i].answer[0].mean);
  }
}
