#include "report/into/json_member.h"
#include "base/json_value.h"

#include <catch2/catch.hpp>
#include <random>

using namespace drydepth;

namespace {

const Json kValue = {{"at", "x"}, {"list", {{{"a", 1}}, {{"a", 2.5}}}}};

}  // namespace

TEST_CASE("JSON member: replaced where it stands, or added behind the last") {
  struct Row {
    const char* name;
    std::string text, expected;
  };
  const std::vector<Row> rows = {
      {"added, two blanks", "{\n  \"a\": 1.50e1\n}\n",
       "{\n  \"a\": 1.50e1,\n  \"drydepth\": {\n    \"at\": \"x\",\n    \"list\": [\n"
       "      {\"a\": 1},\n      {\"a\": 2.5}\n    ]\n  }\n}\n"},
      {"tabs, CRLF, no blank behind the colon", "{\r\n\t\"a\":1\r\n}",
       "{\r\n\t\"a\":1,\r\n\t\"drydepth\":{\r\n\t\t\"at\":\"x\",\r\n\t\t\"list\":[\r\n"
       "\t\t\t{\"a\":1},\r\n\t\t\t{\"a\":2.5}\r\n\t\t]\r\n\t}\r\n}"},
      {"all on one line", "{\"a\":[1,{\"drydepth\":2}]}",
       "{\"a\":[1,{\"drydepth\":2}],\"drydepth\":{\"at\":\"x\",\"list\":[{\"a\":1},"
       "{\"a\":2.5}]}}"},
      {"one line with blanks", " { \"a\": 1 } ",
       " { \"a\": 1, \"drydepth\": {\"at\": \"x\", \"list\": [{\"a\": 1}, {\"a\": "
       "2.5}]}"
       " } "},
      {"replaced in the middle", "{\"a\":1, \"drydepth\" : [1,\"]}\"] ,\"b\":2}",
       "{\"a\":1, \"drydepth\" : {\"at\":\"x\",\"list\":[{\"a\":1},{\"a\":2.5}]} "
       ",\"b\":2}"},
      {"its key spelled otherwise", "{\"dry\\u0064epth\":null}",
       "{\"dry\\u0064epth\":{\"at\":\"x\",\"list\":[{\"a\":1},{\"a\":2.5}]}}"},
      {"empty", "{}",
       "{\n  \"drydepth\": {\n    \"at\": \"x\",\n    \"list\": [\n      {\"a\": 1},\n"
       "      {\"a\": 2.5}\n    ]\n  }\n}"},
      {"empty over two lines", "{\n}\n",
       "{\n  \"drydepth\": {\n    \"at\": \"x\",\n    \"list\": [\n      {\"a\": 1},\n"
       "      {\"a\": 2.5}\n    ]\n  }\n}\n"},
      {"a byte-order mark", "\xEF\xBB\xBF{\"a\":1}",
       "\xEF\xBB\xBF{\"a\":1,\"drydepth\":{\"at\":\"x\",\"list\":[{\"a\":1},"
       "{\"a\":2.5}]}}"}};
  for (const Row& row : rows) {
    INFO(row.name);
    const auto put = put_json_member(row.text, "job.json", "drydepth", kValue);
    REQUIRE(put.has_value());
    CHECK(*put == row.expected);
    const auto again = put_json_member(*put, "job.json", "drydepth", kValue);
    REQUIRE(again.has_value());
    CHECK(*again == *put);
  }
}

TEST_CASE("JSON member: refused") {
  struct Row {
    const char *text, *sentence;
  };
  const std::vector<Row> rows = {
      {"[1]",
       "job.json: the document is no JSON object and cannot take the key \"drydepth\"; "
       "give one that begins with {"},
      {"{\"drydepth\": 1, \"drydepth\": 2}",
       "job.json: the key \"drydepth\" stands twice in one object; remove one of the "
       "two"},
      {"{\"a\": 1,}",
       "job.json:1:9: not valid JSON: unexpected '}', expected string literal; mend "
       "the "
       "text there"},
      {"",
       "job.json:1:1: the JSON ends too early; the file looks cut short; finish it "
       "or take it from a copy"}};
  for (const Row& row : rows) {
    INFO(row.text);
    const auto put = put_json_member(row.text, "job.json", "drydepth", kValue);
    REQUIRE_FALSE(put.has_value());
    CHECK(put.error().text() == row.sentence);
    CHECK(put.error().exit_code == 65);
  }
}

TEST_CASE("JSON member: what a name holds is escaped, and ASCII") {
  const auto put =
      put_json_member("{\"a\":1}", "f", "drydepth", {{"id", "K\"\n<\xC3\xA9\xFF"}});
  CHECK(*put == "{\"a\":1,\"drydepth\":{\"id\":\"K\\\"\\n<\\u00e9\\ufffd\"}}");
}

namespace {

// A random document, with the spellings that a writer of JSON is free to choose.
class Writer {
 public:
  explicit Writer(unsigned seed) : random_(seed) {}

  std::string object(int depth, std::string* last = nullptr) {
    std::string out = "{";
    const auto count = random_() % 4 + (last != nullptr ? 1 : 0);
    for (std::size_t k = 0; k < count; ++k) {
      if (k > 0) out += ",";
      out +=
          blanks() + "\"k" + std::to_string(k) + one({"", "\\\"", "\\\\", "}"}) + "\"";
      out += blanks() + ":" + blanks() + value(depth);
      if (last != nullptr) *last = out;
      out += blanks();
    }
    return out + "}";
  }

 private:
  std::string one(const std::vector<std::string>& words) {
    return words[random_() % words.size()];
  }
  std::string blanks() { return one({"", " ", "\n", "\r\n  ", "\t", "\n    "}); }
  std::string value(int depth) {
    if (depth > 0 && random_() % 3 == 0) return object(depth - 1);
    if (depth > 0 && random_() % 3 == 0) {
      return "[" + value(depth - 1) + blanks() + "," + value(depth - 1) + "]";
    }
    return one({"1.50", "-0", "1E+2", "true", "null", "\"]}\\\\\"", "\"\\u00e9\"", "[]",
                "{ }", "12345678901234567890123"});
  }
  std::mt19937 random_;
};

}  // namespace

TEST_CASE("JSON member: random documents") {
  for (unsigned seed = 0; seed < 2000; ++seed) {
    std::string start;  // up to the last member's end
    const std::string text = Writer(seed).object(3, &start);
    INFO(text);
    const std::string rest = text.substr(start.size());
    const auto put = put_json_member(text, "f", "drydepth", kValue);
    REQUIRE(put.has_value());
    CHECK(put->starts_with(start + ","));
    CHECK(put->ends_with(rest));
    CHECK(parse_json(*put, "f")->at("drydepth") == kValue);
    CHECK(*put_json_member(*put, "f", "drydepth", kValue) == *put);
    const auto other = put_json_member(*put, "f", "drydepth", 7);
    REQUIRE(other.has_value());
    CHECK(other->starts_with(start + ","));
    CHECK(other->ends_with("7" + rest));
    CHECK(*put_json_member(*other, "f", "drydepth", kValue) == *put);
  }
}
