#include "rules/rule_text.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <string>

#include "base/files.h"

namespace drydepth {
namespace {

namespace fs = std::filesystem;

// A folder that goes with the test.
struct Folder {
  fs::path path = fs::temp_directory_path() / "drydepth-rule-text-test";
  Folder() {
    fs::remove_all(path);
    fs::create_directories(path / "materials");
  }
  ~Folder() { fs::remove_all(path); }
  void write(const std::string& name, const std::string& text) const {
    REQUIRE(write_whole_file(path / name, text).has_value());
  }
};

TEST_CASE("overlay folder: rule files by path, schemas and other files left out") {
  const Folder folder;
  folder.write("materials/pa6.json", "{}");
  folder.write("materials/aa.json", "[]");
  folder.write("bodies.json", "1");
  folder.write("material.schema.json", "2");
  folder.write("materials/notes.txt", "3");
  const Result<std::vector<RuleText>> texts = read_overlay(folder.path);
  REQUIRE(texts.has_value());
  REQUIRE(texts->size() == 3);
  CHECK((*texts)[0].path == "bodies.json");
  CHECK((*texts)[1].path == "materials/aa.json");
  CHECK((*texts)[2].path == "materials/pa6.json");
  CHECK((*texts)[2].name == (folder.path / "materials/pa6.json").string());
  CHECK((*texts)[2].text == "{}");
}

TEST_CASE("overlay folder: a file in a misspelt place is not left out in silence") {
  const Folder folder;
  folder.write("pa6.json", "{}");
  const Result<std::vector<RuleText>> texts = read_overlay(folder.path);
  REQUIRE_FALSE(texts.has_value());
  CHECK(texts.error().text() ==
        (folder.path / "pa6.json").string() +
            ": no rule file goes by this place; put it at materials/, firmware/, "
            "bodies.json, evidence.json or policy.json below the rule folder");
}

TEST_CASE("overlay folder that is not there") {
  const Result<std::vector<RuleText>> texts = read_overlay("/nowhere/rules");
  REQUIRE_FALSE(texts.has_value());
  CHECK(
      texts.error().text() ==
      "/nowhere/rules: cannot list the rule folder: No such file or directory; give a "
      "folder that holds materials/ or bodies.json");
  CHECK(texts.error().exit_code == 66);
}

TEST_CASE("built-in files come first, by prefix") {
  const std::vector<RuleText> texts =
      rule_texts("bodies.json", {{"bodies.json", "mine/bodies.json", "{}"},
                                 {"materials/pa6.json", "mine/pa6.json", "{}"}});
  REQUIRE(texts.size() == 2);
  CHECK(texts[0].name == "rules/bodies.json");
  CHECK(texts[1].name == "mine/bodies.json");
  for (const RuleText& text : rule_texts("", {})) {
    CHECK(text.path.find(".schema.json") == std::string::npos);
  }
}

}  // namespace
}  // namespace drydepth
