#include "spool/opening.h"
#include "spool/replay.h"
#include "spool/wound.h"

#include <catch2/catch.hpp>

#include "base/numbers.h"
#include "moisture/pack_state.h"
#include "record/record_text.h"
#include "spool/checks.h"
#include "spool/replay.h"

namespace drydepth {
namespace {

constexpr StatedAir kRoom{.temperature_k = 296.15, .activity = 0.45};

Material pa6() { return *find_material(*load_materials(), "pa6", "test"); }

SpoolPriors priors_of(const SpoolRecord& record) {
  return spool_priors(record, pa6(), *find_body(*load_bodies(), "pc", "test"));
}

// A spool's moisture by layer at a moment, outermost first, as one member has it.
struct Profile {
  std::vector<double> content, surface;
};

Profile profile(const SpoolRecord& record, const char* at, const Member& member = {}) {
  Spool spool{.record = record, .material = pa6(), .priors = priors_of(record)};
  spool.timeline = *make_timeline(record, utc(at), kRoom);
  PackSolver solver = spool_solver(spool, member);
  const PackState state = replay(solver, spool, member).state;
  Profile out;
  for (int i = state.layers - 1; i >= 0; --i) {
    out.content.push_back(layer_content(solver.model(), state, i));
    out.surface.push_back(surface_content(solver.model(), state, i));
  }
  return out;
}

std::string layers_text(const std::vector<double>& contents) {
  std::string out;
  for (const double content : contents) {
    out += (out.empty() ? "" : ", ") + format_shortest(content * 100);
  }
  return R"("layers_percent": [)" + out + "]";
}

// Twelve hours at 82 C, then printed from (invented).
const char* const kDried = R"({"type": "drying", "from": "2026-03-02T08:00:00Z",
    "to": "2026-03-02T20:00:00Z",
    "air": {"temperature_c": 82, "room": {"temperature_c": 23, "rh_percent": 40}}},
  {"type": "print", "from": "2026-03-02T20:00:00Z", "to": "2026-03-03T02:00:00Z",
   "used_g": 120})";

TEST_CASE("the layers of one spool are the start of another") {
  const SpoolRecord first = read(record_text(
      kDried, R"({"at": "2026-03-02T08:00:00Z", "moisture_percent": 2.8})"));
  const Profile was = profile(first, "2026-03-03T02:00:00Z");
  const SpoolRecord second =
      read(record_text("", R"({"at": "2026-03-03T02:00:00Z", "net_g": 858, )" +
                               layers_text(was.content) + "}"));
  REQUIRE(check_layers(second, pa6()).has_value());
  const Profile is = profile(second, "2026-03-03T02:00:00Z");
  REQUIRE(is.content.size() == was.content.size());
  for (std::size_t k = 0; k < is.content.size(); ++k) {
    INFO("layer " << k);
    CHECK(is.content[k] == Approx(was.content[k]).margin(1e-12));
    // The strand's own profile is not handed on: even within, so the surface is as wet
    // as the mean, where the first spool's was drier from the gaps or wetter from the
    // room.
    CHECK(is.surface[k] == Approx(is.content[k]).epsilon(1e-9));
  }
  CHECK(std::abs(was.surface[0] - was.content[0]) > 0.001);
  // A week on in the same room the two agree again to 0.05 % of dry mass.
  const Profile was_later = profile(first, "2026-03-10T02:00:00Z");
  const Profile is_later = profile(second, "2026-03-10T02:00:00Z");
  for (std::size_t k = 0; k < is.content.size(); ++k) {
    INFO("layer " << k << " a week on");
    CHECK(is_later.content[k] == Approx(was_later.content[k]).margin(5e-4));
  }
}

std::string opened_with(const std::string& more) {
  return record_text("", R"({"at": "2026-03-02T08:00:00Z", )" + more + "}");
}

TEST_CASE("what is known of the layers moves as a whole") {
  // 30 layers: 0.3 % outside, more inside.
  std::vector<double> contents;
  for (int k = 0; k < 30; ++k) contents.push_back(0.003 + 0.0005 * k);
  const SpoolRecord record =
      read(opened_with(layers_text(contents) + R"(, "moisture_sd_percent": 0.2)"));
  REQUIRE(check_layers(record, pa6()).has_value());
  const SpoolPriors priors = priors_of(record);
  CHECK(priors.notes.empty());
  CHECK(priors.spread.opening_content == Approx(0.002));
  double water = 0, mass = 0;
  const Winding winding = spool_winding(record, pa6());
  for (int k = 0; k < 30; ++k) {
    const double m = layer_mass_kg(winding, 29 - k);
    water += m * contents[static_cast<std::size_t>(k)];
    mass += m;
  }
  CHECK(priors.opening_content == Approx(water / mass));
  const Profile wetter =
      profile(record, "2026-03-02T08:00:00Z", Member{.opening_content = 0.002});
  const Profile drier =
      profile(record, "2026-03-02T08:00:00Z", Member{.opening_content = -0.004});
  for (std::size_t k = 0; k < 30; ++k) {
    INFO("layer " << k);
    CHECK(wetter.content[k] == Approx(contents[k] + 0.002));
    CHECK(drier.content[k] == Approx(std::max(0.0, contents[k] - 0.004)).margin(1e-15));
  }
}

TEST_CASE("as many numbers as there are layers") {
  const std::vector<double> thirty(30, 0.01), eleven(11, 0.01);
  struct Row {
    const char* label;
    std::string opened;
    std::string error;  // empty: fine
  };
  // From the hub, layers of 1.75 mm hold 20.1 g, 21.0 g and so on: ten 240 g.
  const std::string where = "T.json /opened/layers_percent: ";
  const std::string hint =
      "give one a layer, outermost first, or mend the winding's sizes";
  const Row rows[] = {
      {"a full winding", layers_text(thirty), ""},
      {"too few", layers_text(eleven),
       where + "11 numbers for a winding that has 30 layers when opened; " + hint},
      {"begun elsewhere", layers_text(thirty) + R"(, "net_g": 250)",
       where + "30 numbers for a winding that has 11 layers when opened; " + hint},
      {"begun elsewhere, as many", layers_text(eleven) + R"(, "net_g": 250)", ""},
      {"none", R"("moisture_percent": 1)", ""},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const Result<Done> done = check_layers(read(opened_with(row.opened)), pa6());
    CHECK((done ? std::string() : done.error().text()) == row.error);
  }
}

}  // namespace
}  // namespace drydepth
