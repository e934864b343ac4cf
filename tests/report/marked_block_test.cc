#include "report/into/marked_block.h"

#include <catch2/catch.hpp>
#include <random>

using namespace drydepth;

namespace {

const std::string kHere = "<!-- drydepth:here -->";
const std::string kBegin = "<!-- drydepth:begin -->";
const std::string kEnd = "<!-- drydepth:end -->";

const std::vector<std::string> kLines = {"", "| a |", "- b"};

}  // namespace

TEST_CASE("marked block: put in and renewed, all else stays") {
  struct Row {
    const char* name;
    Markup markup;
    std::string text, expected;
  };
  const std::vector<Row> rows = {
      {"Markdown", Markup::kMarkdown, "# Job\n" + kHere + "\nend",
       "# Job\n" + kBegin + "\n\n| a |\n- b\n" + kEnd + "\nend"},
      {"CRLF, no last line end", Markup::kMarkdown, "# Job\r\n" + kHere,
       "# Job\r\n" + kBegin + "\r\n\r\n| a |\r\n- b\r\n" + kEnd},
      {"mixed line ends: that behind it", Markup::kMarkdown, "a\n" + kHere + "\r\n",
       "a\n" + kBegin + "\r\n\r\n| a |\r\n- b\r\n" + kEnd + "\r\n"},
      {"in a quotation", Markup::kMarkdown, "> " + kHere + "\n",
       "> " + kBegin + "\n>\n> | a |\n> - b\n> " + kEnd + "\n"},
      {"in a list", Markup::kMarkdown, "- one\n  " + kHere + "\n",
       "- one\n  " + kBegin + "\n\n  | a |\n  - b\n  " + kEnd + "\n"},
      {"a block of before", Markup::kMarkdown,
       "x\n" + kBegin + "\nold\nolder\n" + kEnd + "\ny\n",
       "x\n" + kBegin + "\n\n| a |\n- b\n" + kEnd + "\ny\n"},
      {"markers put tight by a formatter", Markup::kMarkdown,
       "<!--drydepth:begin-->\n<!--drydepth:end-->\n",
       kBegin + "\n\n| a |\n- b\n" + kEnd + "\n"},
      {"one in a fence is an example", Markup::kMarkdown,
       "```html\n" + kHere + "\n```\n" + kHere + "\n",
       "```html\n" + kHere + "\n```\n" + kBegin + "\n\n| a |\n- b\n" + kEnd + "\n"},
      {"one in a sentence too", Markup::kMarkdown,
       "Put `" + kHere + "` there.\n" + kHere + "\n",
       "Put `" + kHere + "` there.\n" + kBegin + "\n\n| a |\n- b\n" + kEnd + "\n"},
      {"HTML within a line", Markup::kHtml, "<td>" + kHere + "</td>",
       "<td>" + kBegin + "\n\n| a |\n- b\n" + kEnd + "</td>"},
      {"HTML, indented", Markup::kHtml, "<td>\n\t" + kHere + "\n</td>",
       "<td>\n\t" + kBegin + "\n\n\t| a |\n\t- b\n\t" + kEnd + "\n</td>"},
      {"HTML, within another comment", Markup::kHtml,
       "<!-- old: <!-- drydepth:here -->" + kHere,
       "<!-- old: <!-- drydepth:here -->" + kBegin + "\n\n| a |\n- b\n" + kEnd}};
  for (const Row& row : rows) {
    INFO(row.name);
    const auto put = put_marked_block(row.text, "job", row.markup, kLines);
    REQUIRE(put.has_value());
    CHECK(*put == row.expected);
    const auto again = put_marked_block(*put, "job", row.markup, kLines);
    REQUIRE(again.has_value());
    CHECK(*again == *put);
  }
}

TEST_CASE("marked block: refused where the place is not one") {
  struct Row {
    const char* name;
    Markup markup;
    std::string text, sentence;
  };
  const std::string own_line =
      "job: it has no place for the block; add <!-- drydepth:here --> on a line of its "
      "own, outside of code, where it shall stand";
  const std::string mend =
      "; put the pair right, or put one <!-- drydepth:here --> in place of the block";
  const std::vector<Row> rows = {
      {"empty", Markup::kMarkdown, "", own_line},
      {"none", Markup::kHtml, "<p>\n",
       "job: it has no place for the block; add <!-- drydepth:here --> where it shall "
       "stand"},
      {"in a fence that never closes", Markup::kMarkdown, "~~~\n" + kHere + "\n",
       own_line},
      {"two", Markup::kHtml, kHere + "\n" + kHere,
       "job:2: a second place for the block; leave one of the two"},
      {"a block and a marker", Markup::kMarkdown,
       kBegin + "\n" + kEnd + "\n\n" + kHere + "\n",
       "job:4: a second place for the block; leave one of the two"},
      {"no end", Markup::kMarkdown, "a\n" + kBegin + "\n",
       "job:2: this drydepth:begin has no drydepth:end behind it" + mend},
      {"no begin", Markup::kHtml, "a\n\n" + kEnd + "\n",
       "job:3: this drydepth:end has no drydepth:begin before it" + mend},
      {"two begins", Markup::kMarkdown, kBegin + "\n" + kBegin + "\n" + kEnd + "\n",
       "job:1: this drydepth:begin has no drydepth:end behind it" + mend},
      {"a comment that never closes", Markup::kHtml, "<!-- drydepth:here",
       "job: it has no place for the block; add <!-- drydepth:here --> where it shall "
       "stand"}};
  for (const Row& row : rows) {
    INFO(row.name);
    const auto put = put_marked_block(row.text, "job", row.markup, kLines);
    REQUIRE_FALSE(put.has_value());
    CHECK(put.error().text() == row.sentence);
    CHECK(put.error().exit_code == 65);
  }
}

// Hosts of random pieces: outside of the block not a byte changes, and twice is once.
TEST_CASE("marked block: random documents") {
  const std::vector<std::string> pieces = {"words ",
                                           "\n",
                                           "\r\n",
                                           "> ",
                                           "  ",
                                           "\t",
                                           "| a | b |",
                                           "<!-- note -->",
                                           "`code`",
                                           "\\",
                                           "&",
                                           "<p>",
                                           "# x",
                                           "\xC3\xA9",
                                           "\xFF",
                                           "\n```\nx\n```\n",
                                           "- ",
                                           "--",
                                           "\"",
                                           "$",
                                           "~ ",
                                           "drydepth:",
                                           std::string(1, '\0')};
  std::mt19937 random(17);
  const auto some = [&] {
    std::string out;
    for (auto n = random() % 12; n > 0; --n) out += pieces[random() % pieces.size()];
    return out;
  };
  for (int k = 0; k < 2000; ++k) {
    const Markup markup = k % 2 == 0 ? Markup::kMarkdown : Markup::kHtml;
    const std::string before = some() + "\n", after = "\n" + some();
    INFO(before << "|" << after);
    const auto put = put_marked_block(before + kHere + after, "job", markup, kLines);
    REQUIRE(put.has_value());
    CHECK(put->starts_with(before + kBegin));
    CHECK(put->ends_with(kEnd + after));
    CHECK(*put_marked_block(*put, "job", markup, kLines) == *put);
    const auto renewed = put_marked_block(*put, "job", markup, {"other"});
    REQUIRE(renewed.has_value());
    CHECK(renewed->starts_with(before + kBegin));
    CHECK(renewed->ends_with(kEnd + after));
    CHECK(*put_marked_block(*renewed, "job", markup, kLines) == *put);
  }
}
