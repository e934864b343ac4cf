#include "app/job/verify_job.h"

#include "app/job/check_job.h"
#include "app/job/restore_job.h"
#include "app/shop.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "report/json.h"

namespace drydepth {
namespace {

std::string sample_job(const Shop& shop) {
  return shop.put("part.gcode",
                  shop.text_of(DRYDEPTH_TEST_DATA
                               "/gcode/ps25_cube_marlin2_comments_labels.gcode"));
}

// A spool that was never dried: every part of the job is above the limit.
std::string wet_text() {
  std::string out = spool_text("W-1");
  const std::size_t events = out.find("\"events\"");
  return out.substr(0, events) + "\"events\": []}\n";
}

CheckRequest request_of(const Shop& shop, const std::string& job) {
  CheckRequest out{.job = job};
  out.words.shared = shop.shared();
  out.words.shared.nominal = true;
  out.words.spools = {"W-1"};
  out.actions.adjust = true;
  return out;
}

Checked guarded(const Shop& shop, const std::string& job) {
  auto checked = check_job(request_of(shop, job), shop.caller);
  INFO((checked ? "" : checked.error().text()));
  REQUIRE(checked);
  REQUIRE(write_edits(job, *checked, BinaryWriting::kRefused));
  return *std::move(checked);
}

Verified verified(const Shop& shop, const std::string& job) {
  auto out = verify_job({.job = job, .shared = shop.shared()}, shop.caller);
  INFO((out ? "" : out.error().text()));
  REQUIRE(out);
  return *std::move(out);
}

}  // namespace

TEST_CASE("checking a job writes nothing; its edits go in and come out again") {
  const Shop shop;
  shop.put("shelf/W-1.json", wet_text());
  const std::string job = sample_job(shop);
  const std::string sliced = shop.text_of(job);
  std::vector<std::string> phases;
  const auto checked = check_job(
      request_of(shop, job), shop.caller,
      [&](const std::string& phase, const std::shared_ptr<const Tally>& tally) {
        phases.push_back(phase);
        CHECK(tally != nullptr);
      });
  REQUIRE(checked);
  CHECK(shop.text_of(job) == sliced);
  CHECK(phases == std::vector<std::string>{"reading the job", "fitting the weighings",
                                           "racing the job against the spool"});
  CHECK(gravest(checked->report) == Verdict::kWillCross);
  CHECK(checked->read.size() == 2);
  REQUIRE(write_edits(job, *checked, BinaryWriting::kRefused));
  CHECK(shop.text_of(job) != sliced);
  const auto taken = restore_job(job);
  REQUIRE(taken);
  CHECK(taken->blocks > 1);
  CHECK(shop.text_of(job) == sliced);
}

TEST_CASE("the same request gives the same report and the same bytes") {
  const Shop shop;
  shop.put("shelf/W-1.json", wet_text());
  const std::string job = sample_job(shop);
  const std::string first = pretty_json(report_json(guarded(shop, job).report));
  const std::string once = shop.text_of(job);
  CHECK(pretty_json(report_json(guarded(shop, job).report)) == first);
  CHECK(shop.text_of(job) == once);
}

// 2026-12: nozzle limits, flexible, warps and fibre were no part of the stamp, so that
// rules which forbid the written edits were "as checked".
TEST_CASE("a job is not as checked once its rules have changed") {
  const struct {
    const char* file;
    const char* text;
  } overlays[] = {
      {"rules/materials/pa6.json",
       R"({"id": "pa6", "nozzle": {"min_c": {"value": 275, "source": "invented",
           "status": "own choice"}}})"},
      {"rules/materials/pa6.json", R"({"id": "pa6", "flexible": true})"},
      {"rules/materials/pa6.json", R"({"id": "pa6", "warps": false})"},
      {"rules/policy.json", R"({"format": "drydepth-policy/1", "adjust":
          {"most_c": {"value": 2, "source": "invented", "status": "own choice"}}})"},
  };
  const Shop shop;
  shop.put("shelf/W-1.json", wet_text());
  const std::string job = sample_job(shop);
  const Checked checked = guarded(shop, job);
  const auto adjusts = [](const PlannedEdit& e) { return e.edit.action == "adjust"; };
  CHECK(std::any_of(checked.report.edits.begin(), checked.report.edits.end(), adjusts));
  CHECK(verified(shop, job).holds());
  for (const auto& overlay : overlays) {
    INFO(overlay.text);
    shop.put(overlay.file, overlay.text);
    const Verified now = verified(shop, job);
    CHECK_FALSE(now.holds());
    REQUIRE(now.spools.size() == 1);
    CHECK(now.spools[0].changes ==
          std::vector<std::string>{"the rules for it have changed"});
    std::filesystem::remove_all(shop.rules());
  }
  CHECK(verified(shop, job).holds());
}

TEST_CASE("what is wrong with a request to check is said by its option or file") {
  const Shop shop;
  shop.put("shelf/W-1.json", wet_text());
  const std::string job = sample_job(shop);
  const CheckRequest good = request_of(shop, job);
  const auto complaint = [&](const CheckRequest& request) {
    const auto checked = check_job(request, shop.caller);
    REQUIRE_FALSE(checked);
    return checked.error().text();
  };
  CheckRequest bad = good;
  bad.words.shared.room = "warm";
  CHECK(complaint(bad).starts_with("--room: "));
  bad = good;
  bad.words.shared.limit = "taste";
  CHECK(complaint(bad) == "--limit: \"taste\" is no limit; write cosmetic or strength");
  bad = good;
  bad.words.spools = {"W-2"};
  CHECK(complaint(bad).find("W-1") != std::string::npos);
  bad = good;
  bad.words.spools = {"T1=W-1"};
  CHECK(complaint(bad).find("tool T0 extrudes and has no spool") != std::string::npos);
  bad = good;
  bad.job = shop.put("nothing/here", "") + ".gcode";
  CHECK(complaint(bad).find("here.gcode") != std::string::npos);
}

}  // namespace drydepth
