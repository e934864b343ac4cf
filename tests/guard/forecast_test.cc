#include "guard/forecast.h"

#include <catch2/catch.hpp>

#include "guard/dried_spool.h"

using namespace drydepth;

namespace {

HeaterAir heater(double celsius, double room_activity) {
  return {celsius + 273.15, StatedAir{296.15, room_activity}, {}, {}};
}

constexpr double kCeilingK = 85 + 273.15;

}  // namespace

TEST_CASE("more drying gets there in order: the mean, then the whole spool") {
  const Spool dried = dried_spool();
  const auto f = forecast_drying(dried, heater(82, 0.40), 0, 0.005, kCeilingK,
                                 nominal_member(), 1);
  REQUIRE(f.mean[1]);
  REQUIRE(f.whole[1]);
  // Twelve hours left 1.33 % of mean; 0.5 % takes about as long again and more.
  CHECK(*f.mean[1] > 8);
  CHECK(*f.mean[1] < 40);
  CHECK(*f.mean[1] <= *f.whole[1]);
  CHECK(f.outer == f.whole);  // no need stated: all of it
  CHECK(f.reachable);
  REQUIRE(f.least_k);
  CHECK(*f.least_k < kCeilingK);
}

TEST_CASE("the outer wraps get there long before the hub") {
  const Spool dried = dried_spool();
  const auto f = forecast_drying(dried, heater(82, 0.40), 0.200, 0.005, kCeilingK,
                                 nominal_member(), 1);
  REQUIRE(f.outer[1]);
  CHECK(*f.outer[1] > 0);
  CHECK(*f.outer[1] < *f.whole[1]);
}

TEST_CASE("a humid room sets a floor that no time gets under") {
  // 30 C at 90 % heated to 55 C keeps p_sat(30)/p_sat(55) * 90 % = 24 % (IAPWS values
  // 4246 and 15761 Pa), over which pa6 holds about 1.3 %.
  const Spool dried = dried_spool();
  HeaterAir damp = heater(55, 0.90);
  damp.room->temperature_k = 303.15;
  const auto f = forecast_drying(dried, damp, 0, 0.005, kCeilingK, nominal_member(), 1);
  CHECK_FALSE(f.reachable);
  CHECK_FALSE(f.mean[1]);
  CHECK(f.floor.p50 > 0.009);
  CHECK(f.floor.p50 < 0.016);
  REQUIRE(f.least_k);
  CHECK(*f.least_k > 55 + 273.15);
  // At the least temperature it is reachable, ten below it is not.
  CHECK(forecast_drying(dried, {*f.least_k, damp.room, {}, {}}, 0, 0.005, kCeilingK,
                        nominal_member(), 1)
            .reachable);
  CHECK_FALSE(forecast_drying(dried, {*f.least_k - 10, damp.room, {}, {}}, 0, 0.005,
                              kCeilingK, nominal_member(), 1)
                  .reachable);
}

TEST_CASE("a better scale and a cut piece narrow the depth, noise does not") {
  const Spool dried = dried_spool();
  const auto members = draw_members(dried.priors.spread, 64, 1);
  const AirSpec air = heater(82, 0.40);
  const auto fine =
      next_reading(dried, air, true, 8 * 3600, 0.005, 1e-4, 2e-4, members, 0);
  const auto coarse =
      next_reading(dried, air, true, 8 * 3600, 0.005, 1.0, 0.1, members, 0);
  CHECK(fine.weighing.narrows > coarse.weighing.narrows);
  CHECK(coarse.weighing.narrows < 0.01);
  CHECK(coarse.piece_narrows < 0.01);
  CHECK(fine.piece_narrows > 0.1);  // it sees the strand, which weighings do not
  CHECK(fine.piece_narrows > fine.weighing.narrows);
}
