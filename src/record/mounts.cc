#include "record/mounts.h"

#include <algorithm>
#include <system_error>
#include <tuple>

#include "base/exit_code.h"
#include "base/file_lock.h"
#include "base/files.h"
#include "base/json_reader.h"
#include "base/json_value.h"
#include "base/nearest.h"

namespace drydepth {
namespace {

constexpr NumberRule kTool{.min = 0, .max = 255, .example = "0"};

std::filesystem::path mounts_file(const std::filesystem::path& shelf) {
  return shelf / "mounts.json";
}

bool same_place(const Mount& mount, std::string_view printer, int tool) {
  return mount.printer == printer && mount.tool == tool;
}

Mount read_mount(JsonReader& in) {
  in.only_keys({"printer", "tool", "spool", "feed"});
  Mount out;
  out.printer = in.optional_text("printer", "the printer's name", "left").value_or("");
  out.tool = static_cast<int>(in.number("tool", kTool));
  out.spool = in.text("spool", "the spool's id", "K-07");
  if (in.has("feed")) {
    const auto feed = parse_feed(in.choice("feed", {"open", "dry-box", "live-dryer"}));
    if (feed) out.feed = *feed;
  }
  return out;
}

}  // namespace

Result<std::vector<Mount>> parse_mounts(std::string_view text, std::string_view file) {
  const auto json = parse_json(text, file);
  if (!json) return json.error();
  JsonErrors errors{std::string(file), {}};
  JsonReader in(*json, errors);
  in.choice("format", {"drydepth-mounts/1"});
  in.only_keys({"format", "mounts"});
  std::vector<Mount> out;
  for (JsonReader& entry : in.objects("mounts")) {
    const Mount mount = read_mount(entry);
    for (const Mount& other : out) {
      if (same_place(other, mount.printer, mount.tool)) {
        entry.fail("tool", "a second spool hangs on this tool", "keep one of the two");
      }
    }
    out.push_back(mount);
  }
  if (errors.first) return *errors.first;
  return out;
}

std::string mounts_text(const std::vector<Mount>& mounts) {
  Json list = Json::array();
  for (const Mount& mount : mounts) {
    Json entry;
    if (!mount.printer.empty()) entry["printer"] = mount.printer;
    entry["tool"] = mount.tool;
    entry["spool"] = mount.spool;
    if (mount.feed) entry["feed"] = std::string(feed_name(*mount.feed));
    list.push_back(entry);
  }
  return pretty_json({{"format", "drydepth-mounts/1"}, {"mounts", list}});
}

std::vector<Mount> with_mount(std::vector<Mount> mounts, const Mount& mount) {
  std::erase_if(mounts, [&](const Mount& other) {
    return same_place(other, mount.printer, mount.tool) || other.spool == mount.spool;
  });
  mounts.push_back(mount);
  std::sort(mounts.begin(), mounts.end(), [](const Mount& a, const Mount& b) {
    return std::tie(a.printer, a.tool) < std::tie(b.printer, b.tool);
  });
  return mounts;
}

std::vector<Mount> without_mount(std::vector<Mount> mounts, std::string_view printer,
                                 int tool) {
  std::erase_if(mounts, [&](const Mount& m) { return same_place(m, printer, tool); });
  return mounts;
}

Result<std::string> which_printer(const std::vector<Mount>& mounts,
                                  std::string_view word) {
  if (!word.empty()) return std::string(word);
  std::vector<std::string> names;
  for (const Mount& mount : mounts) {
    if (names.empty() || names.back() != mount.printer) names.push_back(mount.printer);
  }
  if (names.size() <= 1) return names.empty() ? std::string() : names.front();
  for (std::string& name : names) {
    if (name.empty()) name = "(no name)";
  }
  return Error{"--printer", "spools hang on several printers: " + join_words(names),
               "say which one", kExitUsage};
}

Result<std::vector<Mount>> load_mounts(const std::filesystem::path& shelf) {
  std::error_code ignored;
  const std::filesystem::path file = mounts_file(shelf);
  if (!std::filesystem::exists(file, ignored)) return std::vector<Mount>{};
  const auto text = read_whole_file(file);
  if (!text) return text.error();
  return parse_mounts(*text, file.filename().string());
}

Result<std::vector<Mount>> update_mounts(const std::filesystem::path& shelf,
                                         const MountsChange& change) {
  const auto lock = FolderLock::take(shelf);
  if (!lock) return lock.error();
  const auto before = load_mounts(shelf);
  if (!before) return before;
  auto after = change(*before);
  if (!after) return after;
  const auto written = write_whole_file(mounts_file(shelf), mounts_text(*after));
  if (!written) return written.error();
  return after;
}

}  // namespace drydepth
