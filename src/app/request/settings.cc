#include "app/request/settings.h"

#include "app/request/folders.h"
#include "base/exit_code.h"
#include "record/typed/quantity.h"

namespace drydepth {
namespace {

Error at_option(const std::string& option, Error error) {
  error.where = option;
  error.exit_code = kExitUsage;
  return error;
}

}  // namespace

std::filesystem::path shelf_folder(const SharedWords& words, const Caller& caller) {
  if (!words.shelf.empty()) return words.shelf;
  return data_folder(caller) / "shelf";
}

Result<Settings> understand(const SharedWords& words, const Caller& caller) {
  Settings out;
  out.shelf = shelf_folder(words, caller);
  auto config = load_config(caller);
  if (!config) return config.error();
  out.config = *std::move(config);
  const Origin room_word = settle("room", words.room, out.config);
  const auto room = parse_air(room_word.value);
  if (!room) return at_option(room_word.place, room.error());
  out.places.room = *room;
  const Origin box_word = settle("box", words.box, out.config);
  const auto box = parse_air(box_word.value);
  if (!box) return at_option(box_word.place, box.error());
  out.places.box = *box;
  const Origin dryer_word = settle("dryer", words.dryer, out.config);
  if (!dryer_word.value.empty()) {
    const auto dryer = parse_temperature_k(dryer_word.value);
    if (!dryer) return at_option(dryer_word.place, dryer.error());
    out.places.dryer_k = *dryer;
  }
  out.at = caller.now;
  if (!words.at.empty()) {
    const auto at = parse_moment(words.at, caller.now, caller.zone, Lean::kAhead);
    if (!at) return at_option("--at", at.error());
    out.at = *at;
  }
  for (const std::string& word : words.without) {
    const auto at = parse_moment(word, caller.now, caller.zone, Lean::kPast);
    if (!at) return at_option("--without", at.error());
    out.without.push_back(*at);
  }
  const Origin feed_word = settle("feed", words.feed, out.config);
  const auto feed = parse_feed(feed_word.value);
  if (!feed) return at_option(feed_word.place, feed.error());
  out.feed = *feed;
  out.feed_typed = !words.feed.empty();
  const Origin limit_word = settle("limit", words.limit, out.config);
  const auto limit = read_limit(limit_word.value);
  if (!limit) {
    return Error{limit_word.place, "\"" + limit_word.value + "\" is no limit",
                 "write cosmetic or strength", kExitUsage};
  }
  out.decides = *limit;
  out.nominal = words.nominal;
  return out;
}

}  // namespace drydepth
