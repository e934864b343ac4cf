#include "app/job/plan_jobs.h"

#include "app/shelf/start_record.h"
#include "app/shelf/survey_shelf.h"
#include "app/shop.h"

namespace drydepth {
namespace {

PlanRequest request_of(const Shop& shop) {
  PlanRequest out;
  out.jobs = {DRYDEPTH_TEST_DATA "/gcode/ps25_cube_marlin2_relE.gcode"};
  out.on.spools = {"S-1"};
  out.on.shared = shop.shared();
  out.on.shared.nominal = true;
  return out;
}

}  // namespace

TEST_CASE("a plan has a choice for each feed, and never hotter than the ceiling") {
  const Shop shop;
  shop.put("shelf/S-1.json", spool_text("S-1"));
  shop.put("shelf/S-2.json", spool_text("S-2"));
  const auto plan = plan_jobs(request_of(shop), shop.caller);
  INFO((plan ? "" : plan.error().text()));
  REQUIRE(plan);
  REQUIRE(plan->plans.size() == 1);
  const SpoolPlan& p = plan->plans[0];
  CHECK(p.choices.enough);
  for (const Feed feed : {Feed::kOpen, Feed::kDryBox, Feed::kLiveDryer}) {
    CHECK(std::any_of(p.choices.list.begin(), p.choices.list.end(),
                      [&](const Choice& c) { return c.way.feed.feed == feed; }));
  }
  REQUIRE(p.others.size() == 1);  // the other one of the shelf
  CHECK(p.others[0].id == "S-2");
  PlanRequest hot = request_of(shop);
  hot.dry = "140C";
  CHECK(
      plan_jobs(hot, shop.caller).error().text().starts_with("--dry: 140 C is above"));
}

TEST_CASE("words of a plan that cannot be read") {
  const Shop shop;
  shop.put("shelf/S-1.json", spool_text("S-1"));
  const struct {
    std::string PlanRequest::*word;
    const char* typed;
    const char* where;
  } rows[] = {{&PlanRequest::chance, "0.1", "--chance: "},
              {&PlanRequest::chance, "0%", "--chance: "},
              {&PlanRequest::between, "soon", "--between: "},
              {&PlanRequest::dry, "hot", "--dry: "}};
  for (const auto& row : rows) {
    PlanRequest request = request_of(shop);
    request.*row.word = row.typed;
    INFO(row.where << row.typed);
    const auto plan = plan_jobs(request, shop.caller);
    REQUIRE_FALSE(plan);
    CHECK(plan.error().text().starts_with(row.where));
    CHECK(plan.error().exit_code == 64);
  }
}

TEST_CASE("a shelf is surveyed though one record is broken") {
  const Shop shop;
  shop.put("shelf/S-1.json", spool_text("S-1"));
  shop.put("shelf/S-2.json", "{");
  SharedWords words = shop.shared();
  words.nominal = true;
  const auto survey = survey_shelf("id", words, shop.caller);
  REQUIRE(survey);
  REQUIRE(survey->rows.size() == 1);
  CHECK(survey->rows[0].id == "S-1");
  CHECK(survey->rows[0].left_kg == Approx(0.978).margin(0.01));
  REQUIRE(survey->errors.size() == 1);
  CHECK(survey_shelf("colour", words, shop.caller)
            .error()
            .text()
            .starts_with("--sort: "));
}

TEST_CASE("a record is started once") {
  const Shop shop;
  NewRequest request{.history = "unknown", .shared = shop.shared()};
  request.spool = {
      .id = "N-1", .material = "PA6", .width_mm = 55, .hub_mm = 80, .net_g = 1000};
  const auto started = start_record(request, shop.caller);
  INFO((started ? "" : started.error().text()));
  REQUIRE(started);
  CHECK(started->starts_with("N-1: pa6 on plastic, record at "));
  const std::string text = shop.text_of(shop.shelf() / "N-1.json");
  CHECK_FALSE(start_record(request, shop.caller));
  CHECK(shop.text_of(shop.shelf() / "N-1.json") == text);
  request.history = "long";
  CHECK(start_record(request, shop.caller).error().text().starts_with("--history: "));
}

}  // namespace drydepth
