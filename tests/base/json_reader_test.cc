#include "base/json_reader.h"
#include "base/json_value.h"

#include <catch2/catch.hpp>
#include <functional>
#include <string>

namespace drydepth {
namespace {

constexpr NumberRule kWidth{
    .unit = "millimetres", .min = 0, .max = 1000, .example = "55", .above_min = true};
constexpr NumberRule kDiameter{.unit = "millimetres",
                               .min = 1,
                               .max = 4,
                               .example = "1.75",
                               .slip_unit = "metres",
                               .slip_factor = 1000};

Json parse(const std::string& text) {
  const Result<Json> json = parse_json(text, "K-07.json");
  REQUIRE(json.has_value());
  return *json;
}

TEST_CASE("each getter's error") {
  struct Row {
    std::string text;
    std::function<void(JsonReader&)> read;
    std::string error;
  };
  const Row rows[] = {
      {R"({"w": {"width_mm": "wide"}})",
       [](JsonReader& in) { in.object("w").number("width_mm", kWidth); },
       "K-07.json /w/width_mm: expected a number of millimetres above 0 up to 1000, "
       "got "
       "\"wide\"; write e.g. 55"},
      {R"({"width_mm": 0})", [](JsonReader& in) { in.number("width_mm", kWidth); },
       "K-07.json /width_mm: expected a number of millimetres above 0 up to 1000, got "
       "0; "
       "write e.g. 55"},
      {R"({})", [](JsonReader& in) { in.number("width_mm", kWidth); },
       "K-07.json /width_mm: a number of millimetres above 0 up to 1000 is missing; "
       "write e.g. 55"},
      {R"({"width_mm": null})", [](JsonReader& in) { in.number("width_mm", kWidth); },
       "K-07.json /width_mm: a number of millimetres above 0 up to 1000 is missing; "
       "write e.g. 55"},
      {R"({"d": 0.00175})", [](JsonReader& in) { in.optional_number("d", kDiameter); },
       "K-07.json /d: expected a number of millimetres from 1 to 4, got 0.00175; that "
       "looks like metres: write 1.75"},
      {R"({"d": 175})", [](JsonReader& in) { in.number("d", kDiameter); },
       "K-07.json /d: expected a number of millimetres from 1 to 4, got 175; write "
       "e.g. "
       "1.75"},
      {R"({"n": 1})", [](JsonReader& in) { in.optional_numbers("n", kWidth); },
       "K-07.json /n: expected an array of numbers, got 1; write e.g. [55]"},
      {R"({"n": []})", [](JsonReader& in) { in.optional_numbers("n", kWidth); },
       "K-07.json /n: this array has no number in it; write e.g. [55]"},
      {R"({"n": [1, 2, "wide"]})",
       [](JsonReader& in) { in.optional_numbers("n", kWidth); },
       "K-07.json /n/2: expected a number of millimetres above 0 up to 1000, got "
       "\"wide\"; write e.g. 55"},
      {R"({"n": [1, 2000]})", [](JsonReader& in) { in.optional_numbers("n", kWidth); },
       "K-07.json /n/1: expected a number of millimetres above 0 up to 1000, got 2000; "
       "write e.g. 55"},
      {R"({"id": 7})", [](JsonReader& in) { in.text("id", "the spool's id", "K-07"); },
       "K-07.json /id: expected the spool's id, got 7; write e.g. \"K-07\""},
      {R"({"id": ""})",
       [](JsonReader& in) { in.optional_text("id", "the spool's id", "K-07"); },
       "K-07.json /id: expected the spool's id, got \"\"; write e.g. \"K-07\""},
      {R"({"type": "dring"})",
       [](JsonReader& in) {
         in.choice("type", {"drying", "print"});
       },
       "K-07.json /type: unknown word \"dring\"; did you mean drying? Known: drying, "
       "print"},
      {R"({})",
       [](JsonReader& in) {
         in.choice("type", {"drying", "print"});
       },
       "K-07.json /type: one of drying, print is missing; write e.g. \"drying\""},
      {R"({"open": "yes"})", [](JsonReader& in) { in.flag_or("open", false); },
       "K-07.json /open: expected true or false, got \"yes\"; write e.g. true"},
      {R"({})", [](JsonReader& in) { in.object("winding").number("width_mm", kWidth); },
       "K-07.json /winding: this object is missing; write { ... } there"},
      {R"({"winding": 55})", [](JsonReader& in) { in.object("winding"); },
       "K-07.json /winding: expected an object, got 55; write { ... } there"},
      {R"({"events": {}})", [](JsonReader& in) { in.objects("events"); },
       "K-07.json /events: expected an array, got an object; write e.g. []"},
      {R"({"events": [{}, 5]})", [](JsonReader& in) { in.objects("events"); },
       "K-07.json /events/1: expected an object, got 5; write { ... } there"},
      {R"({"a/b~c": 1})", [](JsonReader& in) { in.text("a/b~c", "a text", "x"); },
       "K-07.json /a~1b~0c: expected a text, got 1; write e.g. \"x\""},
      {R"({"cosmetic": 1})",
       [](JsonReader& in) {
         in.only_keys({"cosmetic_percent", "strength_percent"});
       },
       "K-07.json /cosmetic: unknown key; did you mean cosmetic_percent? Known: "
       "cosmetic_percent, strength_percent"},
      {R"([1])", [](JsonReader&) {},
       "K-07.json: expected an object, got an array; write { ... } there"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const Json json = parse(row.text);
    JsonErrors errors{"K-07.json", {}};
    JsonReader in(json, errors);
    row.read(in);
    REQUIRE(errors.first);
    CHECK(errors.first->text() == row.error);
  }
}

TEST_CASE("values that are there") {
  const Json json = parse(
      R"({"w": 55, "id": "K", "open": true, "o": {"w": 1}, "list": [{"w": 2}, {"w": 3}]})");
  JsonErrors errors{"K-07.json", {}};
  JsonReader in(json, errors);
  CHECK(in.number("w", kWidth) == 55);
  CHECK(in.text("id", "an id", "K") == "K");
  CHECK(in.choice("id", {"J", "K"}) == "K");
  CHECK(in.flag_or("open", false));
  CHECK(in.flag_or("closed", true));
  CHECK(in.object("o").number("w", kWidth) == 1);
  CHECK(in.objects("list")[1].number("w", kWidth) == 3);
  CHECK(in.objects("list")[1].pointer() == "/list/1");
  CHECK_FALSE(in.optional_number("none", kWidth));
  CHECK_FALSE(in.optional_text("none", "a text", "x"));
  CHECK_FALSE(in.optional_object("none"));
  in.only_keys({"w", "id", "open", "o", "list"});
  CHECK_FALSE(errors.first);
}

TEST_CASE("the first error sticks, through all parts of a document") {
  const Json json = parse(R"({"a": {"w": -1}, "b": {"w": "x"}})");
  JsonErrors errors{"K-07.json", {}};
  JsonReader in(json, errors);
  JsonReader a = in.object("a");
  JsonReader b = in.object("b");
  a.number("w", kWidth);
  b.number("w", kWidth);
  CHECK(in.failed());
  CHECK(errors.first->where == "K-07.json /a/w");
}

TEST_CASE("a long text is cut in an error") {
  const Json json = parse("{\"w\": \"" + std::string(200, 'x') + "\"}");
  JsonErrors errors{"f", {}};
  JsonReader in(json, errors);
  in.number("w", kWidth);
  CHECK(errors.first->what ==
        "expected a number of millimetres above 0 up to 1000, got \"" +
            std::string(39, 'x') + "...");
}

}  // namespace
}  // namespace drydepth
