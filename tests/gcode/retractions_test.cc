#include "gcode/edit/retractions.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "gcode/edit/blocks.h"
#include "gcode/edit/digest.h"
#include "gcode/edit/rewrite.h"

using namespace drydepth;

namespace {

struct Lengthened {
  std::string text;  // of the job with its edits, marks left out
  RetractionsDone done;
  LongerRetractions all;
};

// As the rule files have them, as far as is needed here.
Dialect dialect_of(const std::string& id) {
  Dialect out;
  out.id = id;
  out.e_rule = id == "klipper" ? ERule::kOr : ERule::kSet;
  out.g10_sets_tools = id == "reprapfirmware";
  out.bare_g92_zeroes = id == "klipper" || id == "reprapfirmware";
  out.retraction = id == "repetier"  ? ""
                   : id == "klipper" ? "SET_RETRACTION RETRACT_LENGTH="
                                     : "M207 S";
  return out;
}

std::string with(const std::string& job, const std::vector<Edit>& edits) {
  std::string out;
  const auto done = rewrite(memory_source("job", job, 7), edits, [&](auto bytes) {
    out += bytes;
    return true;
  });
  return done ? out : done.error().text();
}

std::string without_comments(const std::string& text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t next = std::min(text.find('\n', at), text.size() - 1) + 1;
    if (text[at] != ';') out += text.substr(at, next - at);
    at = next;
  }
  return out;
}

Lengthened lengthened(const std::string& job, const char* firmware = "marlin",
                      std::uint64_t from_line = 1, std::size_t most_pairs = 100) {
  const Dialect dialect = dialect_of(firmware);
  const RetractionWish wish{.tool = 0,
                            .from_line = from_line,
                            .share = 0.1,
                            .most_mm = 0.4,
                            .unload_mm = 12,
                            .most_pairs = most_pairs};
  const auto longer =
      lengthen_retractions(memory_source("job", job, 5), dialect, {}, {wish});
  REQUIRE(longer);
  const std::string guarded = with(job, longer->edits);
  CHECK(with(guarded, {}) == job);  // restored byte for byte
  return {without_comments(guarded), longer->tools[0], *longer};
}

}  // namespace

TEST_CASE("a plain pair is longer by a tenth, in each E mode") {
  struct Row {
    const char* what;
    std::string job, expected;
  };
  const Row rows[] = {
      {"relative", "M83\nG1 X1 E5\nG1 E-.8 F2100\nG1 X9\nG1 E.8 F2100\nG1 X1 E5\n",
       "M83\nG1 X1 E5\nG1 E-.88 F2100\nG1 X9\nG1 E.88 F2100\nG1 X1 E5\n"},
      {"relative, no more than 0.4 mm", "M83\nG1 X1 E5\nG1 E-6.50000\nG1 E6.50000\n",
       "M83\nG1 X1 E5\nG1 E-6.90000\nG1 E6.90000\n"},
      {"relative, a G92 between changes nothing",
       "M83\nG1 X1 E5\nG1 E-2\nG92 E0\nG1 E2\n",
       "M83\nG1 X1 E5\nG1 E-2.2\nG92 E0\nG1 E2.2\n"},
      {"absolute: the recovery's target stays",
       "M82\nG1 X1 E10\nG1 E8 F2400\nG0 X9\nG1 E10 F2400\nG1 X1 E11\n",
       "M82\nG1 X1 E10\nG1 E7.8 F2400\nG0 X9\nG1 E10 F2400\nG1 X1 E11\n"},
      {"absolute, a new origin between moves with it",
       "M82\nG1 X1 E10\nG1 E8 F2400\nG92 E0\nG0 X9\nG1 E2 F2400\nG1 X1 E3\n",
       "M82\nG1 X1 E10\nG1 E7.8 F2400\nG92 E-0.2\nG0 X9\nG1 E2 F2400\nG1 X1 E3\n"},
      {"absolute, a new origin before the pair",
       "M82\nG1 X1 E10\nG92 E0\nG1 E-1.0000\nG0 X9\nG1 E0.0000\nG92 E0\nG1 X1 E1\n",
       "M82\nG1 X1 E10\nG92 E0\nG1 E-1.1000\nG0 X9\nG1 E0.0000\nG92 E0\nG1 X1 E1\n"},
      {"relative, wiped between two pieces",
       "M83\nG1 X1 E5\nG1 E-.56\n;WIPE_START\nG1 X2 E-.2\n;WIPE_END\nG1 E-.04\nG1 "
       "E.8\n",
       "M83\nG1 X1 E5\nG1 E-.56\nG1 X2 E-.2\nG1 E-.12\nG1 E.88\n"},
  };
  for (const Row& row : rows) {
    INFO(row.what);
    const auto out = lengthened(row.job);
    CHECK(out.text == row.expected);
    CHECK(out.done.longer == 1);
    CHECK(out.done.left_alone == 0);
  }
}

TEST_CASE("what is no plain pair is left alone and counted") {
  struct Row {
    const char* what;
    std::string job;
    std::size_t left_alone;
  };
  const Row rows[] = {
      {"ends in a wipe", "M83\nG1 X1 E5\nG1 E-.5\nG1 X2 E-.3\nG1 E.8\n", 1},
      {"recovered by more", "M83\nG1 X1 E5\nG1 E-2\nG1 E2.1\n", 1},
      {"recovered in moving", "M83\nG1 X1 E5\nG1 E-2\nG1 X3 E2\n", 1},
      {"never recovered", "M83\nG1 X1 E5\nG1 E-2\nG1 X3\n", 0},
      {"an unloading", "M83\nG1 X1 E5\nG1 E-40\nG1 E40\n", 0},
      {"the mode changes", "M83\nG1 X1 E5\nG1 E-2\nM83\nG1 E2\n", 1},
      {"the tool changes and comes back", "M83\nG1 X1 E5\nG1 E-2\nT1\nT0\nG1 E2\n", 1},
      {"the flow changes", "M83\nG1 X1 E5\nG1 E-2\nM221 S100\nG1 E2\n", 1},
      {"two new origins", "M82\nG1 X1 E5\nG1 E3\nG92 E0\nG92 E0\nG1 E2\n", 1},
      {"the place stated between", "M82\nG1 X1 E5\nG1 E3\nG1 X9 E3\nG1 E5\n", 1},
      {"computed words", "M83\nG1 X1 E5\nG1 E-2\nG1 E{a}\nG1 E2\n", 1},
      {"no line end", "M83\nG1 X1 E5\nG1 E-2\nG1 E2", 1},
      {"indented", "M83\nG1 X1 E5\n  G1 E-2\n  G1 E2\n", 1},
      {"M209 on", "M209 S1\nM83\nG1 X1 E5\nG1 E-2\nG1 E2\n", 1},
      {"a long line", "M83\nG1 X1 E5\nG1 E-2 ; " + std::string(60, 'x') + "\nG1 E2\n",
       1},
  };
  for (const Row& row : rows) {
    INFO(row.what);
    const auto out = lengthened(row.job, "reprapfirmware");
    CHECK(out.all.edits.empty());
    CHECK(out.done.longer == 0);
    CHECK(out.done.left_alone == row.left_alone);
  }
}

TEST_CASE("a macro between spoils absolute pairs only") {
  const std::string pair = "G1 E-2\nMY_MACRO A=1\nG1 E2\n";
  CHECK(lengthened("M83\nG1 X1 E5\n" + pair, "klipper").done.longer == 1);
  CHECK(lengthened("M82\nG1 X1 E5\nG1 E3\nMY_MACRO A=1\nG1 E5\n", "klipper")
            .done.left_alone == 1);
  CHECK(
      lengthened("M82\nG1 X1 E5\nG1 E3\nSET_VELOCITY_LIMIT ACCEL=1\nG1 E5\n", "klipper")
          .done.longer == 1);
}

TEST_CASE("pairs before the line stay, and too many pairs all stay") {
  const std::string pair = "G1 X1 E5\nG1 E-2\nG1 E2\n";
  const std::string job = "M83\n" + pair + pair + pair;
  CHECK(lengthened(job, "marlin", 5).done.longer == 2);
  CHECK(lengthened(job, "marlin", 4).done.longer == 2);  // begun before
  CHECK(lengthened(job, "marlin", 3).done.longer == 3);
  const auto many = lengthened(job, "marlin", 1, 2);
  CHECK(many.all.too_many);
  CHECK(many.all.edits.empty());
}

TEST_CASE("a firmware's retraction is set before a G10 that finds it forward") {
  const auto marlin = lengthened(
      "M207 F2400 S1.50\nG1 X1 E5\nG10\nG10\nG11\nM207 S2\nG10\nG11\nG10\nG11\n",
      "marlin", 4);
  CHECK(marlin.text ==
        "M207 F2400 S1.50\nG1 X1 E5\nG10\nG10\nG11\nM207 S2\nM207 S2.2\nG10\nG11\n"
        "G10\nG11\n");
  CHECK(marlin.done.firmware == 2);
  const auto klipper = lengthened(
      "SET_RETRACTION RETRACT_LENGTH=0.8 RETRACT_SPEED=40\nG10\nG11\n", "klipper");
  CHECK(klipper.text ==
        "SET_RETRACTION RETRACT_LENGTH=0.8 RETRACT_SPEED=40\n"
        "SET_RETRACTION RETRACT_LENGTH=0.88\nG10\nG11\n");
}

TEST_CASE("a firmware's setting that serves several tools is left alone") {
  const std::string job = "M207 S1\nG10\nT1\nG11\n";
  const auto longer =
      lengthen_retractions(memory_source("job", job), dialect_of("marlin"), {},
                           {{.tool = 0,
                             .share = 0.1,
                             .most_mm = 1,
                             .unload_mm = 9,
                             .most_pairs = 9,
                             .several_tools = true}});
  REQUIRE(longer);
  CHECK(longer->edits.empty());
  CHECK(longer->tools[0].shared == 1);
}

TEST_CASE("a length that is none, or one tool's alone, is not known") {
  for (const std::string last : {"M207 S0", "M207 P0 S1.0", "M207 P1 S6"}) {
    INFO(last);
    const auto out =
        lengthened("M207 S1.5\n" + last + "\nG10\nG11\n", "reprapfirmware");
    CHECK(out.all.edits.empty());
    CHECK(out.done.not_stated == 1);
  }
  const auto speed = lengthened("M207 S1.5\nM207 F2400\nG10\nG11\n", "marlin");
  CHECK(speed.done.firmware == 1);
}

TEST_CASE("a bare G92 makes no retraction longer than allowed") {
  const auto out =
      lengthened("M82\nG92 E0\nG1 X1 E5000\nG92\nG1 E-2\nG92 E0\nG1 E2\n", "klipper");
  CHECK(out.done.most_mm <= 0.2);
  CHECK(out.text.find("G1 E-2.2\n") != out.text.npos);
}

TEST_CASE("a line with two E words is left alone") {
  const auto out = lengthened("M83\nG1 X1 E5\nG1 E-1 E-2\nG1 E2\n", "marlin");
  CHECK(out.all.edits.empty());
}

TEST_CASE("firmware retractions count towards too many") {
  const auto many = lengthened(
      "M207 S1\nG10\nG11\nM207 S1\nG10\nG11\nM207 S1\nG10\nG11\n", "marlin", 1, 2);
  CHECK(many.all.too_many);
  CHECK(many.all.edits.empty());
}

TEST_CASE("a firmware's retraction of unknown length is left alone") {
  const auto none = lengthened("G1 X1 E5\nG10\nG11\n");
  CHECK(none.all.edits.empty());
  CHECK(none.done.not_stated == 1);
  // M207 is another command there.
  const auto other = lengthened("M207 S2\nG10\nG11\n", "repetier");
  CHECK(other.all.edits.empty());
  // G10 sets temperatures there.
  const auto heats = lengthened("M207 S2\nG10 P0 S250\nG10\nG11\n", "reprapfirmware");
  CHECK(heats.text == "M207 S2\nG10 P0 S250\nM207 S2.2\nG10\nG11\n");
}

TEST_CASE("a changed line that was changed again is refused") {
  const std::string job = "M83\nG1 X1 E5\nG1 E-2\nG1 E2\n";
  const auto longer = lengthen_retractions(
      memory_source("job", job), dialect_of("marlin"), {},
      {{.tool = 0, .share = 0.1, .most_mm = 1, .unload_mm = 9, .most_pairs = 9}});
  std::string guarded = with(job, longer->edits);
  const auto at = guarded.find("G1 E-2.2");
  REQUIRE(at != guarded.npos);
  CHECK(with(guarded.replace(at, 8, "G1 E-3.0"), {}) ==
        "job:3: a line that drydepth had changed was changed again; take the whole "
        "block out by hand, or slice the job again");
  std::string crlf;
  for (const char c : with(job, longer->edits)) {
    crlf += c == '\n' ? std::string("\r\n") : std::string(1, c);
  }
  CHECK(with(crlf, {}) == "M83\r\nG1 X1 E5\r\nG1 E-2\r\nG1 E2\r\n");
  CHECK(edits_of(*read_blocks(memory_source("job", crlf))).size() == 4);
}
