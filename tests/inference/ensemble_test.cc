#include "inference/ensemble.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/parallel.h"
#include "moisture/reference_run.h"

namespace drydepth {
namespace {

namespace run = reference_run;

// Critical values of the standard normal distribution as statistical tables print them,
// more digits from memory.
TEST_CASE("normal quantile") {
  struct Row {
    double p, x;
  };
  const Row rows[] = {{0.5, 0},
                      {0.75, 0.6744897501960817},
                      {0.9, 1.2815515655446004},
                      {0.95, 1.6448536269514722},
                      {0.975, 1.959963984540054},
                      {0.99, 2.3263478740408408},
                      {0.995, 2.5758293035489004},
                      {0.9995, 3.2905267314918945}};
  for (const Row& row : rows) {
    INFO("p " << row.p);
    CHECK(normal_quantile(row.p) == Approx(row.x).margin(1e-12));
    CHECK(normal_quantile(1 - row.p) == Approx(-row.x).margin(1e-12));
  }
}

TEST_CASE("normal quantile undoes the distribution far into the tail") {
  for (const double p : {1e-300, 1e-100, 1e-16, 1e-8, 1e-3, 0.2, 0.499}) {
    INFO("p " << p);
    const double x = normal_quantile(p);
    CHECK(0.5 * std::erfc(-x / std::numbers::sqrt2) / p == Approx(1).epsilon(1e-10));
  }
}

// Every unknown, and how its value goes back to a standard normal.
struct Field {
  const char* label;
  double Member::*field;
  double sd;
  bool log;
  double offset = 0;  ///< of the central value, where it is neither 0 nor a factor

  double normal(const Member& m) const {
    return (log ? std::log(m.*field) : m.*field - offset) / sd;
  }
};
const Priors kPriors;
const Field kFields[] = {
    {"gap factor", &Member::gap_factor, kPriors.gap_factor_log, true},
    {"diffusivity", &Member::diffusivity, kPriors.diffusivity_log, true},
    {"film", &Member::film, kPriors.film_log, true},
    {"side", &Member::side, kPriors.side_log, true},
    {"isotherm", &Member::isotherm, kPriors.isotherm_log, true},
    {"heat of mixing", &Member::heat_of_mixing_j_mol, kPriors.heat_of_mixing_j_mol,
     false},
    {"opening content", &Member::opening_content, kPriors.opening_content, false},
    {"dryer air", &Member::dryer_air_k, kPriors.dryer_air_k, false},
    {"body time", &Member::body_time, kPriors.body_time_log, true},
    {"dry mass", &Member::dry_mass, kPriors.dry_mass, false, 1},
    {"tare", &Member::tare_kg, kPriors.tare_kg, false},
    {"used", &Member::used, kPriors.used, false},
    {"scale drift", &Member::scale_drift_kg_day, kPriors.scale_drift_kg_day, false},
};

static_assert(std::size(kFields) == kUnknowns.size());

TEST_CASE("each stratum of each unknown is taken once") {
  for (const std::size_t count : {std::size_t{1}, std::size_t{10}, std::size_t{64}}) {
    const std::vector<Member> members = draw_members(kPriors, count, 7);
    REQUIRE(members.size() == count);
    for (const Field& u : kFields) {
      INFO(u.label << ", " << count << " members");
      std::vector<double> place;
      for (const Member& m : members) {
        const double z = u.normal(m);
        place.push_back(0.5 * std::erfc(-z / std::numbers::sqrt2) *
                        static_cast<double>(count));
      }
      std::sort(place.begin(), place.end());
      for (std::size_t k = 0; k < count; ++k) {
        CHECK(place[k] == Approx(static_cast<double>(k) + 0.5).margin(1e-8));
      }
    }
  }
}

double correlation(const std::vector<Member>& members, const Field& a, const Field& b) {
  double ab = 0, aa = 0, bb = 0;
  for (const Member& m : members) {
    const double x = a.normal(m), y = b.normal(m);
    ab += x * y;
    aa += x * x;
    bb += y * y;
  }
  return ab / std::sqrt(aa * bb);
}

// For n independent orders the standard deviation is 1/sqrt(n - 1) = 0.063.
TEST_CASE("the unknowns are paired at random") {
  const std::vector<Member> members = draw_members(kPriors, 256, 1);
  for (const Field& a : kFields) {
    for (const Field& b : kFields) {
      if (&a >= &b) continue;
      INFO(a.label << " and " << b.label);
      CHECK(std::abs(correlation(members, a, b)) < 4 * 0.063);
    }
  }
}

TEST_CASE("a member goes back to its normals") {
  for (const auto& z : hypercube(16, kUnknowns.size(), 3)) {
    const auto back = to_normals(kPriors, to_member(kPriors, z));
    for (std::size_t u = 0; u < kUnknowns.size(); ++u) {
      INFO("unknown " << u);
      CHECK(back[u] == Approx(z[u]).margin(1e-12));
    }
  }
  // Where the prior is sure there is nothing to go back to.
  CHECK(to_normals({.used = 0}, Member{})[11] == 0.0);
}

TEST_CASE("the seed fixes the members") {
  const auto gaps = [](std::uint64_t seed) {
    std::vector<double> out;
    for (const Member& m : draw_members(kPriors, 32, seed)) out.push_back(m.gap_factor);
    return out;
  };
  CHECK(gaps(3) == gaps(3));
  CHECK(gaps(3) != gaps(4));
}

TEST_CASE("the nominal member changes nothing") {
  const std::vector<Member> members = nominal_member();
  REQUIRE(members.size() == 1);
  for (const Field& u : kFields) {
    INFO(u.label);
    CHECK(u.normal(members[0]) == 0.0);
  }
}

TEST_CASE("percentiles") {
  const double inf = std::numeric_limits<double>::infinity();
  struct Row {
    const char* label;
    std::vector<double> sample;
    double p10, p50, p90;
  };
  const Row rows[] = {
      {"one value", {4}, 4, 4, 4},
      {"two values", {2, 1}, 1.1, 1.5, 1.9},
      {"eleven values, any order", {10, 0, 9, 1, 8, 2, 7, 3, 6, 4, 5}, 1, 5, 9},
      {"never is infinity", {1, 2, 3, inf, inf}, 1.4, 3, inf},
      {"a finite and an infinite neighbour: the nearer stands", {1, inf}, 1, inf, inf},
      {"both ends", {-inf, 0, 1, inf}, -inf, 0.5, inf},
      {"nothing but infinity", {inf, inf, inf}, inf, inf, inf},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const Percentiles p = percentiles(row.sample);
    CHECK(p.p10 == Approx(row.p10));
    CHECK(p.p50 == Approx(row.p50));
    CHECK(p.p90 == Approx(row.p90));
  }
}

// A small ensemble of spools, a solver for each call.
std::vector<double> contents(unsigned threads) {
  const std::vector<Member> members = draw_members(kPriors, 12, 5);
  std::vector<double> out(members.size());
  for_each_index(members.size(), threads, [&](std::size_t k) {
    Polymer polymer = run::polymer();
    polymer.diffusivity_ref_m2_s *= members[k].diffusivity;
    PackProperties pack = run::pack();
    pack.gap_factor *= members[k].gap_factor;
    PackSolver solver(polymer, run::winding(8), pack);
    PackState state = solver.uniform(DryBasis{run::kStartContent}, Kelvin{run::kRoomK});
    solver.advance(state, run::heater(80), 5 * kSecondsPerHour);
    out[k] = mean_content(solver.model(), state);
  });
  return out;
}

TEST_CASE("results do not depend on the number of threads") {
  const std::vector<double> one = contents(1);
  CHECK(std::count(one.begin(), one.end(), 0.0) == 0);
  for (const unsigned threads : {2U, 7U, 0U}) {
    INFO(threads << " threads");
    CHECK(contents(threads) == one);
  }
}

}  // namespace
}  // namespace drydepth
