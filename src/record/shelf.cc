#include "record/shelf.h"

#include <algorithm>
#include <system_error>

#include "base/exit_code.h"
#include "base/file_lock.h"
#include "base/files.h"
#include "base/nearest.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

// The file of what hangs where stands among the records.
constexpr const char* kMountsName = "mounts";

bool is_path(std::string_view word) {
  return word.find('/') != std::string_view::npos || word.ends_with(".json");
}

// An id becomes a file name, so it must stay in its folder on every file system.
bool is_plain_name(std::string_view id) {
  if (id.empty() || id.size() > 100 || id == kMountsName || id.front() == '.' ||
      id.front() == '-') {
    return false;
  }
  return std::all_of(id.begin(), id.end(), [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           c == '-' || c == '_' || c == '.' || c == '+' || (c & 0x80) != 0;
  });
}

fs::path record_file(const fs::path& shelf, std::string_view id) {
  return shelf / (std::string(id) + ".json");
}

fs::path folder_of_record(const fs::path& path) {
  std::error_code failed;
  const fs::path target = fs::canonical(path, failed);
  return (failed ? path : target).parent_path();
}

bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
}

Error taken(const fs::path& path) {
  return Error{path.string(), "there is a spool with this id already",
               "take another id, or log to that one", kExitCannotCreate};
}

}  // namespace

Result<fs::path> find_spool(const fs::path& shelf, std::string_view word) {
  if (is_path(word)) {
    const fs::path path(word);
    if (is_there(path)) return path;
    return Error{std::string(word), "there is no such spool record",
                 "check the path, or give a spool's id", kExitNoInput};
  }
  const fs::path path = record_file(shelf, word);
  if (is_plain_name(word) && is_there(path)) return path;
  const Result<std::vector<std::string>> ids = list_shelf(shelf);
  if (!ids) return ids.error();
  const std::string hint = ids->empty()
                               ? "the shelf is empty, begin with: drydepth new ID"
                               : did_you_mean(word, *ids);
  return Error{shelf.string(), "no spool \"" + std::string(word) + "\" on this shelf",
               hint, kExitNoInput};
}

Result<fs::path> new_spool_path(const fs::path& shelf, std::string_view id) {
  if (!is_plain_name(id) || id.ends_with(".json")) {
    return Error{"ID", "\"" + std::string(id) + "\" cannot name a spool's file",
                 "use letters, digits and - _ . +, e.g. K-07", kExitUsage};
  }
  const fs::path path = record_file(shelf, id);
  if (!is_there(path)) return path;
  return taken(path);
}

Result<SpoolRecord> load_record(const fs::path& path, std::string_view name) {
  const Result<std::string> text = read_whole_file(path);
  if (!text) return text.error();
  const std::string shown = name.empty() ? path.filename().string() : std::string(name);
  return read_record(*text, shown);
}

Result<SpoolRecord> read_air_logs(SpoolRecord record, const fs::path& path) {
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const auto* interval = std::get_if<Interval>(&record.events[i]);
    if (interval == nullptr || !interval->air) continue;
    const auto* log = std::get_if<AirLog>(&*interval->air);
    if (log == nullptr) continue;
    const auto text = read_whole_file(folder_of_record(path) / log->path);
    if (!text) return text.error();
    auto series = read_air_log(*text, log->path, *log, interval->from);
    if (!series) return series.error();
    record.air_logs[i] = *std::move(series);
  }
  return record;
}

Result<Done> save_record(const fs::path& path, const SpoolRecord& record) {
  return write_whole_file(path, record.text);
}

Result<Done> create_record(const fs::path& path, const SpoolRecord& record) {
  const auto lock = FolderLock::take(path.parent_path());
  if (!lock) return lock.error();
  if (is_there(path)) return taken(path);
  return save_record(path, record);
}

Result<SpoolRecord> update_record(const fs::path& path, const SpoolChange& change) {
  // A link is followed first: two names of a record share a lock.
  const auto lock = FolderLock::take(folder_of_record(path));
  if (!lock) return lock.error();
  const auto before = load_record(path);
  if (!before) return before.error();
  auto after = change(*before);
  if (!after) return after;
  const auto saved = save_record(path, *after);
  if (!saved) return saved.error();
  return after;
}

Result<std::vector<std::string>> list_shelf(const fs::path& shelf) {
  std::vector<std::string> ids;
  if (!is_there(shelf)) return ids;
  std::error_code error;
  fs::directory_iterator it(shelf, error);
  const fs::directory_iterator end;
  while (!error && it != end) {
    const fs::path path = it->path();
    const bool hidden = path.filename().string().starts_with('.');
    const bool is_record = path.extension() == ".json" && path.stem() != kMountsName;
    if (is_record && !hidden) ids.push_back(path.stem().string());
    it.increment(error);
  }
  if (error) {
    return Error{shelf.string(), "cannot list the shelf: " + error.message(),
                 "check that it is a folder you may read", kExitNoInput};
  }
  std::sort(ids.begin(), ids.end());
  return ids;
}

}  // namespace drydepth
