#include "app/shelf/start_record.h"

#include <algorithm>

#include "base/exit_code.h"
#include "base/shown.h"
#include "record/shelf.h"
#include "record/typed/quantity.h"

namespace drydepth {
namespace {

std::string lower(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

// PA6 is what the label says, and pa6 the id.
template <class T>
std::string id_as_written(const std::string& typed, const std::vector<T>& known,
                          std::string T::*id) {
  const auto same = std::find_if(known.begin(), known.end(), [&](const T& one) {
    return lower(one.*id) == lower(typed);
  });
  return same == known.end() ? typed : (*same).*id;
}

}  // namespace

Result<std::string> start_record(NewRequest words, const Caller& caller) {
  const auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  if (!words.opened.empty()) {
    const auto at = parse_moment(words.opened, caller.now, caller.zone, Lean::kPast);
    if (!at) {
      return Error{"--opened", at.error().what, at.error().hint, at.error().exit_code};
    }
    words.spool.opened = *at;
  }
  if (words.history == "unknown") {
    words.spool.history_unknown = true;
  } else if (!words.history.empty()) {
    return Error{"--history", "\"" + words.history + "\" is no history",
                 "write unknown, or leave it out", kExitUsage};
  }
  words.spool.material =
      id_as_written(words.spool.material, rules->materials, &Material::id);
  words.spool.body = id_as_written(words.spool.body, rules->bodies, &Body::kind);
  const auto path = new_spool_path(shelf_folder(words.shared, caller), words.spool.id);
  if (!path) return path.error();
  const auto record = make_record(words.spool, path->filename().string(),
                                  rules->materials, rules->bodies);
  if (!record) return record.error();
  // A first spool begins the shelf. Where that fails, saving says why.
  std::error_code ignored;
  std::filesystem::create_directories(path->parent_path(), ignored);
  const auto saved = create_record(*path, *record);
  if (!saved) return saved.error();
  return shown(record->id) + ": " + record->material + " on " + record->body.kind +
         ", record at " + shown(path->string()) + "\n";
}

}  // namespace drydepth
