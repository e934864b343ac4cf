#include <memory>

#include "base/exit_code.h"
#include "base/numbers.h"
#include "base/shown.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "record/mounts.h"
#include "record/shelf.h"

namespace drydepth {
namespace {

struct MountWords {
  SharedWords shared;
  std::string spool, printer, feed, tool = "T0";
  bool json = false;
};

Result<int> read_tool(const std::string& word) {
  const auto number = parse_number(word.starts_with('T') ? word.substr(1) : "");
  if (number && *number >= 0 && *number <= 255 &&
      *number == static_cast<int>(*number)) {
    return static_cast<int>(*number);
  }
  return Error{"--tool", "\"" + word + "\" is no tool", "write e.g. T1", kExitUsage};
}

std::string line_of(const Mount& mount) {
  std::string out = mount.printer.empty() ? "" : mount.printer + " ";
  out += "T" + std::to_string(mount.tool) + ": " + mount.spool;
  if (mount.feed) out += ", feed " + std::string(feed_name(*mount.feed));
  return shown(out) + "\n";
}

std::string list_of(const std::vector<Mount>& mounts) {
  std::string out;
  for (const Mount& mount : mounts) out += line_of(mount);
  return out.empty() ? "nothing is mounted\n" : out;
}

Result<std::vector<Mount>> changed(const std::vector<Mount>& before,
                                   const MountWords& words, Mount mount) {
  auto printer = which_printer(before, words.printer);
  if (!printer) return printer.error();
  mount.printer = *std::move(printer);
  return words.spool == "none" ? without_mount(before, mount.printer, mount.tool)
                               : with_mount(before, mount);
}

Result<std::string> mount_spool(const MountWords& words, const World& world) {
  const std::filesystem::path shelf = shelf_folder(words.shared, world.caller);
  if (words.spool.empty()) {
    const auto mounts = load_mounts(shelf);
    if (!mounts) return mounts.error();
    return words.json ? mounts_text(*mounts) : list_of(*mounts);
  }
  Mount mount{.spool = words.spool};
  const auto tool = read_tool(words.tool);
  if (!tool) return tool.error();
  mount.tool = *tool;
  if (!words.feed.empty()) {
    const auto feed = parse_feed(words.feed);
    if (!feed) return Error{"--feed", feed.error().what, feed.error().hint, kExitUsage};
    mount.feed = *feed;
  }
  if (words.spool != "none") {
    const auto path = find_spool(shelf, words.spool);
    if (!path) return path.error();
    // A path is kept whole: the next job may be guarded from another folder.
    if (words.spool.find('/') != std::string::npos || words.spool.ends_with(".json")) {
      mount.spool = std::filesystem::absolute(*path).string();
    }
  }
  std::error_code ignored;  // where that fails, locking says why
  std::filesystem::create_directories(shelf, ignored);
  const auto mounts = update_mounts(shelf, [&](const std::vector<Mount>& before) {
    return changed(before, words, mount);
  });
  if (!mounts) return mounts.error();
  return words.json ? mounts_text(*mounts) : list_of(*mounts);
}

}  // namespace

CommandRun mount_command(Command& app, const World& world) {
  auto words = std::make_shared<MountWords>();
  app.add_option("SPOOL", words->spool,
                 "An id on the shelf or a record's path, none to take the spool off; "
                 "left out: list what hangs where");
  app.add_option("--tool", words->tool, "Tool that it hangs on")
      .capture_default_str()
      .type_name("Tn");
  app.add_option("--printer", words->printer,
                 "Printer; may be left out where there is only one")
      .envname("DRYDEPTH_PRINTER")
      .type_name("PRINTER");
  app.add_option("--feed", words->feed,
                 "How it stands there while printing: open, dry-box or live-dryer")
      .type_name("WORD");
  app.add_flag("--json", words->json, "Print the list as JSON");
  add_shelf_options(app, words->shared);
  return [words, &world] {
    const auto text = mount_spool(*words, world);
    if (!text) return complain(world, text.error());
    print(world, *text);
    return 0;
  };
}

}  // namespace drydepth
