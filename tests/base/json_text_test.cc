#include "base/json_text.h"
#include "base/json_value.h"

#include <catch2/catch.hpp>
#include <string>

namespace drydepth {
namespace {

TEST_CASE("what is no JSON") {
  struct Row {
    std::string label;
    std::string text;
    std::string error;
  };
  const std::string cut =
      ": the JSON ends too early; the file looks cut short; finish it or take it from "
      "a "
      "copy";
  const Row rows[] = {
      {"empty", "", "K-07.json:1:1" + cut},
      {"cut in a string", "{\n \"id\": \"K-0", "K-07.json:2:12" + cut},
      {"cut in an object", "{\"id\": 1,\n", "K-07.json:2:1" + cut},
      {"two commas", "{\n \"a\": 1,,\n}",
       "K-07.json:2:9: not valid JSON: unexpected ',', expected string literal; mend "
       "the "
       "text there"},
      {"a word", "{\"a\": dry}",
       "K-07.json:1:7: not valid JSON: invalid literal, last read: '\"a\": d'; mend "
       "the "
       "text there"},
      {"trailing text", "{} x",
       "K-07.json:1:4: not valid JSON: invalid literal, last read: '{} x', expected "
       "end "
       "of input; mend the text there"},
      {"too large", "[1e999]",
       "K-07.json: a number in it is too large; write numbers below 1e308"},
      {"twice", "{\"a\": {\"b\": 1, \"c\": 2, \"b\": 3}}",
       "K-07.json: the key \"b\" stands twice in one object; remove one of the two"},
      {"deep", std::string(100000, '[') + std::string(100000, ']'),
       "K-07.json: it is nested deeper than any file of this kind; check that it is "
       "the "
       "right file"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const Result<Json> json = parse_json(row.text, "K-07.json");
    REQUIRE_FALSE(json.has_value());
    CHECK(json.error().text() == row.error);
  }
}

TEST_CASE("the same key in two objects is no repetition") {
  CHECK(parse_json("[{\"a\": 1}, {\"a\": {\"a\": 2}}]", "x").has_value());
}

TEST_CASE("pretty text") {
  const std::string text =
      "{\n"
      " \"z\": 1,\n"
      " \"a\": {\"n\": null, \"list\": [1, 2.5, \"x\"], \"none\": {}},\n"
      " \"long\": [\n"
      "  {\"type\": \"storage\", \"from\": \"2026-03-02T08:00:00Z\", \"rh_percent\": "
      "45},\n"
      "  {\n"
      "   \"type\": \"storage, and a text that with both of its keys does not fit on "
      "one "
      "line\",\n"
      "   \"r\": 4\n"
      "  }\n"
      " ]\n"
      "}\n";
  const Result<Json> json = parse_json(text, "x");
  REQUIRE(json.has_value());
  CHECK(pretty_json(*json) == text);
}

TEST_CASE("no line of pretty text is longer than 88 columns unless it is one value") {
  Json list = Json::array();
  for (int i = 0; i < 40; ++i) {
    list.push_back({{"key", std::string(static_cast<std::size_t>(i), 'x')}, {"n", i}});
  }
  const std::string text = pretty_json({{"list", list}});
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = text.find('\n', start);
    CHECK(end - start <= 88);
    start = end + 1;
  }
  CHECK(*parse_json(text, "x") == Json{{"list", list}});
}

TEST_CASE("numbers as a person writes them") {
  CHECK(number_json(80).dump() == "80");
  CHECK(number_json(1.75).dump() == "1.75");
  CHECK(number_json(-4000).dump() == "-4000");
  CHECK(number_json(1e300).dump() == "1e+300");
}

}  // namespace
}  // namespace drydepth
