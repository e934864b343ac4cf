#include "spool/shelf.h"

#include <algorithm>
#include <system_error>

#include "base/exit_code.h"
#include "base/files.h"
#include "base/nearest.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

bool is_path(std::string_view word) {
  return word.find('/') != std::string_view::npos || word.ends_with(".json");
}

// An id becomes a file name, so it must stay in its folder on every file system.
bool is_plain_name(std::string_view id) {
  if (id.empty() || id.size() > 100 || id.front() == '.' || id.front() == '-') {
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

bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
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
  return Error{path.string(), "there is a spool with this id already",
               "take another id, or log to that one", kExitCannotCreate};
}

Result<SpoolRecord> load_spool(const fs::path& path, std::string_view name) {
  const Result<std::string> text = read_whole_file(path);
  if (!text) return text.error();
  const std::string shown = name.empty() ? path.filename().string() : std::string(name);
  return read_record(*text, shown);
}

Result<Done> save_spool(const fs::path& path, const SpoolRecord& record) {
  return write_whole_file(path, record.text);
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
    if (path.extension() == ".json" && !hidden) ids.push_back(path.stem().string());
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
