#include "record/shelf.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <string>

#include "record/record_text.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

// A shelf that goes with the test.
struct TestShelf {
  fs::path path = fs::temp_directory_path() / "drydepth-shelf-test";
  TestShelf() {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~TestShelf() { fs::remove_all(path); }
  void put(const std::string& id) const {
    REQUIRE(save_record(path / (id + ".json"), read(k07_text())).has_value());
  }
};

TEST_CASE("what is saved is loaded, byte for byte") {
  const TestShelf shelf;
  shelf.put("K-07");
  const Result<SpoolRecord> record = load_record(shelf.path / "K-07.json");
  REQUIRE(record.has_value());
  CHECK(record->text == k07_text());
  CHECK(record->file == "K-07.json");
}

TEST_CASE("which file a word stands for") {
  const TestShelf shelf;
  shelf.put("K-07");
  shelf.put("K-08");
  const std::string file = (shelf.path / "K-07.json").string();
  struct Row {
    std::string word;
    std::string path_or_error;
  };
  const Row rows[] = {
      {"K-07", file},
      {file, file},
      {"k7", shelf.path.string() +
                 ": no spool \"k7\" on this shelf; did you mean K-07? "
                 "Known: K-07, K-08"},
      {"..",
       shelf.path.string() + ": no spool \"..\" on this shelf; known: K-07, K-08"},
      {"K-07.json",
       "K-07.json: there is no such spool record; check the path, or give a "
       "spool's id"},
      {"nowhere/K-07",
       "nowhere/K-07: there is no such spool record; check the path, or "
       "give a spool's id"},
  };
  for (const Row& row : rows) {
    INFO(row.word);
    const Result<fs::path> path = find_spool(shelf.path, row.word);
    CHECK((path ? path->string() : path.error().text()) == row.path_or_error);
    if (!path) CHECK(path.error().exit_code == 66);
  }
}

TEST_CASE("an empty shelf and none at all") {
  const TestShelf shelf;
  const fs::path none = shelf.path / "none";
  CHECK(list_shelf(none)->empty());
  CHECK(
      find_spool(none, "K-07").error().text() ==
      none.string() +
          ": no spool \"K-07\" on this shelf; the shelf is empty, begin with: drydepth "
          "new ID");
}

TEST_CASE("ids on a shelf, sorted, other files left out") {
  const TestShelf shelf;
  for (const char* id : {"b", "a", "K-07", ".hidden"}) shelf.put(id);
  REQUIRE(write_whole_file(shelf.path / "notes.txt", "x").has_value());
  const auto ids = list_shelf(shelf.path);
  REQUIRE(ids.has_value());
  CHECK(*ids == std::vector<std::string>{"K-07", "a", "b"});
}

TEST_CASE("files for new spools") {
  const TestShelf shelf;
  shelf.put("K-07");
  CHECK(*new_spool_path(shelf.path, "K-09") == shelf.path / "K-09.json");
  const Result<fs::path> taken = new_spool_path(shelf.path, "K-07");
  REQUIRE_FALSE(taken.has_value());
  CHECK(taken.error().text() == (shelf.path / "K-07.json").string() +
                                    ": there is a spool with this id already; take "
                                    "another id, or log to that one");
  CHECK(taken.error().exit_code == 73);
  for (const std::string id : {"", "../x", "a/b", ".x", "-x", "a b", "x.json"}) {
    INFO(id);
    const Result<fs::path> path = new_spool_path(shelf.path, id);
    REQUIRE_FALSE(path.has_value());
    CHECK(path.error().text() ==
          "ID: \"" + id +
              "\" cannot name a spool's file; use letters, digits "
              "and - _ . +, e.g. K-07");
    CHECK(path.error().exit_code == 64);
  }
}

}  // namespace
}  // namespace drydepth
