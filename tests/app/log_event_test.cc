#include "app/shelf/log_event.h"

#include "app/shop.h"
#include "record/shelf.h"

namespace drydepth {
namespace {

LogRequest request_of(const Shop& shop, std::vector<std::string> words) {
  return {.spool = "S-1", .words = std::move(words), .shared = shop.shared()};
}

std::size_t events_of(const Shop& shop) {
  const auto record = load_record(shop.shelf() / "S-1.json");
  REQUIRE(record);
  return record->events.size();
}

}  // namespace

TEST_CASE("an event is logged, said, and taken out again") {
  const Shop shop;
  shop.put("shelf/S-1.json", spool_text("S-1"));
  const std::string before = shop.text_of(shop.shelf() / "S-1.json");
  const auto logged =
      log_event(request_of(shop, {"weighing", "1204.6g", "06:20"}), shop.caller);
  INFO((logged ? "" : logged.error().text()));
  REQUIRE(logged);
  CHECK(logged->said == "S-1: weighing 1204.6 g at 2026-03-06 06:20\n");
  CHECK(logged->change.before.events.size() == 3);
  CHECK(logged->change.after.events.size() == 4);
  const auto undone = undo_event("S-1", std::nullopt, shop.shelf(), shop.caller);
  REQUIRE(undone);
  CHECK(undone->said ==
        "S-1: taken out: weighing 1204.6 g +- 1 g at 2026-03-06 06:20\n");
  CHECK(events_of(shop) == 3);
  CHECK(shop.text_of(shop.shelf() / "S-1.json") != before);  // its history knows
}

TEST_CASE("what is odd is asked, said or refused; the record is as the answer says") {
  const std::vector<std::string> odd{"weighing", "1231.0g", "06:20"};  // too heavy
  const struct {
    const char* label;
    bool strict, somebody, yes;
    std::size_t events;
  } rows[] = {{"asked, yes", false, true, true, 4},
              {"asked, no", false, true, false, 3},
              {"nobody there", false, false, false, 4},
              {"strict", true, true, true, 3}};
  for (const auto& row : rows) {
    INFO(row.label);
    const Shop shop;
    shop.put("shelf/S-1.json", spool_text("S-1"));
    std::vector<std::string> asked, said;
    Doubting doubting{.say = [&](const std::string& text) { said.push_back(text); }};
    if (row.somebody) {
      doubting.ask = [&](const std::string& question) {
        asked.push_back(question);
        return row.yes;
      };
    }
    LogRequest request = request_of(shop, odd);
    request.strict = row.strict;
    const auto logged = log_event(request, shop.caller, doubting);
    CHECK(logged.has_value() == (row.events == 4));
    CHECK(events_of(shop) == row.events);
    CHECK(asked.empty() == (row.strict || !row.somebody));
    CHECK(said.empty() == row.somebody);
  }
}

TEST_CASE("what cannot be is refused and the record stays byte for byte") {
  const Shop shop;
  shop.put("shelf/S-1.json", spool_text("S-1"));
  const std::string before = shop.text_of(shop.shelf() / "S-1.json");
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"weighing", "3g"},
        {"weighing", "1204.6"},
        {"weighing"},
        {"dancing", "80C"},
        {"respool", "marble"},
        {"print", "2000g", "since", "06:10", "until", "06:20"}}) {
    INFO(words.front() << " " << words.back());
    const auto logged = log_event(request_of(shop, words), shop.caller);
    REQUIRE_FALSE(logged);
    CHECK_FALSE(logged.error().text().empty());
    CHECK(shop.text_of(shop.shelf() / "S-1.json") == before);
  }
  LogRequest elsewhere = request_of(shop, {"stop"});
  elsewhere.spool = "S-9";
  CHECK(log_event(elsewhere, shop.caller).error().text().find("S-1") !=
        std::string::npos);
}

TEST_CASE("the effect of a weighing is told before and after") {
  const Shop shop;
  shop.put("shelf/S-1.json", spool_text("S-1"));
  const auto logged =
      log_event(request_of(shop, {"weighing", "1204.6g", "06:20"}), shop.caller);
  REQUIRE(logged);
  const std::string line = effect_line(shop.shared(), logged->change, shop.caller);
  CHECK(line.starts_with("  estimate at 2026-03-06 06:20: "));
  CHECK(line.ends_with("\n"));
}

}  // namespace drydepth
