#include "record/mounts.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <string>

namespace drydepth {
namespace {

const Mount kLeft0{
    .printer = "left", .tool = 0, .spool = "K-07", .feed = Feed::kDryBox};
const Mount kLeft1{.printer = "left", .tool = 1, .spool = "K-08"};
const Mount kRight{.printer = "right", .tool = 0, .spool = "K-09"};

TEST_CASE("mounts survive being written and read") {
  const std::vector<Mount> mounts{kLeft0, kLeft1, {.tool = 3, .spool = "x/y.json"}};
  const auto read = parse_mounts(mounts_text(mounts), "mounts.json");
  REQUIRE(read.has_value());
  CHECK(*read == mounts);
}

TEST_CASE("a spool hangs in one place, a tool holds one spool") {
  std::vector<Mount> mounts = with_mount({}, kRight);
  mounts = with_mount(mounts, kLeft1);
  mounts = with_mount(mounts, kLeft0);
  CHECK(mounts == std::vector<Mount>{kLeft0, kLeft1, kRight});
  const Mount moved{.printer = "right", .tool = 0, .spool = "K-07"};
  CHECK(with_mount(mounts, moved) == std::vector<Mount>{kLeft1, moved});
  CHECK(without_mount(mounts, "left", 1) == std::vector<Mount>{kLeft0, kRight});
}

TEST_CASE("which printer is meant") {
  struct Row {
    std::string label;
    std::vector<Mount> mounts;
    std::string word, printer_or_error;
  };
  const Row rows[] = {
      {"nothing yet", {}, "", ""},
      {"named", {kLeft0, kRight}, "attic", "attic"},
      {"the only one", {kLeft0, kLeft1}, "", "left"},
      {"several",
       {kLeft0, kRight},
       "",
       "--printer: spools hang on several printers: left, right; say which one"},
      {"several, one without a name",
       {{.spool = "A"}, kRight},
       "",
       "--printer: spools hang on several printers: (no name), right; say which one"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const auto printer = which_printer(row.mounts, row.word);
    CHECK((printer ? *printer : printer.error().text()) == row.printer_or_error);
  }
}

TEST_CASE("files that are no mounts") {
  struct Row {
    std::string text, error;
  };
  const Row rows[] = {
      {R"({"format": "drydepth-mounts/2", "mounts": []})",
       "m.json /format: unknown word \"drydepth-mounts/2\"; did you mean "
       "drydepth-mounts/1? Known: drydepth-mounts/1"},
      {R"({"format": "drydepth-mounts/1", "mounts": [{"tool": 0}]})",
       "m.json /mounts/0/spool: the spool's id is missing; write e.g. \"K-07\""},
      {R"({"format": "drydepth-mounts/1", "mounts": [{"tool": 0, "spool": "A"},
           {"tool": 0, "spool": "B"}]})",
       "m.json /mounts/1/tool: a second spool hangs on this tool; keep one of the two"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const auto mounts = parse_mounts(row.text, "m.json");
    REQUIRE_FALSE(mounts.has_value());
    CHECK(mounts.error().text() == row.error);
  }
}

TEST_CASE("mounts on a shelf") {
  const auto shelf = std::filesystem::temp_directory_path() / "drydepth-mounts-test";
  std::filesystem::remove_all(shelf);
  std::filesystem::create_directories(shelf);
  CHECK(load_mounts(shelf)->empty());
  const auto hang = [](const std::vector<Mount>& before) {
    return Result<std::vector<Mount>>(with_mount(before, kLeft0));
  };
  REQUIRE(update_mounts(shelf, hang).has_value());
  CHECK(*load_mounts(shelf) == std::vector<Mount>{kLeft0});
  std::filesystem::remove_all(shelf);
}

}  // namespace
}  // namespace drydepth
