// Quoting as in RFC 4180 (2005), section 2, rules 5 to 7.

#include "report/into/csv_fields.h"

#include <catch2/catch.hpp>
#include <random>

using namespace drydepth;

namespace {

const std::vector<CsvField> kFields = {{"drydepth_verdict", "may-cross"},
                                       {"drydepth_limit_percent", "0.50", true}};

Result<std::string> put(const std::string& text, const std::string& typed = "") {
  return put_csv_fields(text, "jobs.csv", "a.gcode", typed, kFields);
}

}  // namespace

TEST_CASE("CSV fields: columns added or filled, all else stays") {
  struct Row {
    const char* name;
    std::string text, typed, expected;
  };
  const std::vector<Row> rows = {
      {"commas", "id,file\n1,a.gcode\n2,b.gcode\n", "",
       "id,file,drydepth_verdict,drydepth_limit_percent\n1,a.gcode,may-cross,0.50\n"
       "2,b.gcode,,\n"},
      {"semicolons take a decimal comma; CRLF, no last line end",
       "id;file\r\n1;a.gcode", "",
       "id;file;drydepth_verdict;drydepth_limit_percent\r\n1;a.gcode;may-cross;0,50"},
      {"tabs, a byte-order mark, an empty line", "\xEF\xBB\xBFid\tfile\n\n1\ta.gcode\n",
       "",
       "\xEF\xBB\xBFid\tfile\tdrydepth_verdict\tdrydepth_limit_percent\n\n"
       "1\ta.gcode\tmay-cross\t0.50\n"},
      {"a line that names the delimiter", "sep=;\nid;file, name\n1;a.gcode\n", "",
       "sep=;\nid;file, name;drydepth_verdict;drydepth_limit_percent\n"
       "1;a.gcode;may-cross;0,50\n"},
      {"a path, and quoted line ends and quotes",
       "id,file,note\n1,\"jobs/a.gcode\",\"two\nlines, \"\"x\"\"\"\n2,\"b\",\"\"\n", "",
       "id,file,note,drydepth_verdict,drydepth_limit_percent\n"
       "1,\"jobs/a.gcode\",\"two\nlines, \"\"x\"\"\",may-cross,0.50\n2,\"b\",\"\",,\n"},
      {"a folder of the other system", "id,file\n1,C:\\jobs\\a.gcode\n", "",
       "id,file,drydepth_verdict,drydepth_limit_percent\n"
       "1,C:\\jobs\\a.gcode,may-cross,0.50\n"},
      {"columns that stand in the middle",
       "drydepth_limit_percent,id,drydepth_verdict,file\n\"old\",1,\"x\",a.gcode\n", "",
       "drydepth_limit_percent,id,drydepth_verdict,file\n0.50,1,may-cross,a.gcode\n"},
      {"quotes around the same words stay",
       "id,file,drydepth_verdict,drydepth_limit_percent\n1,a.gcode,\"may-cross\",0.5\n",
       "",
       "id,file,drydepth_verdict,drydepth_limit_percent\n"
       "1,a.gcode,\"may-cross\",0.50\n"},
      {"a row that is too short", "id,file,note\n1,a.gcode\n2\n", "",
       "id,file,note,drydepth_verdict,drydepth_limit_percent\n"
       "1,a.gcode,,may-cross,0.50\n2,,,,\n"},
      {"by a word", "id,file\n17,a.gcode\n18,a.gcode\n", "18",
       "id,file,drydepth_verdict,drydepth_limit_percent\n17,a.gcode,,\n"
       "18,a.gcode,may-cross,0.50\n"},
      {"by a column", "id,of\n17,18\n18,17\n", "of=17",
       "id,of,drydepth_verdict,drydepth_limit_percent\n17,18,,\n"
       "18,17,may-cross,0.50\n"},
      {"by a word that holds an equals sign", "id,of\na=1,2\n", "a=1",
       "id,of,drydepth_verdict,drydepth_limit_percent\na=1,2,may-cross,0.50\n"}};
  for (const Row& row : rows) {
    INFO(row.name);
    const auto once = put(row.text, row.typed);
    REQUIRE(once.has_value());
    CHECK(*once == row.expected);
    const auto twice = put(*once, row.typed);
    REQUIRE(twice.has_value());
    CHECK(*twice == *once);
  }
}

TEST_CASE("CSV fields: a cell is quoted where it must be, and never a formula") {
  struct Row {
    const char *value, *cell;
  };
  const std::vector<Row> rows = {{"plain", "plain"},
                                 {"a,b", "\"a,b\""},
                                 {"a\nb", "\"a\nb\""},
                                 {"say \"x\"", "\"say \"\"x\"\"\""},
                                 {" blank", "\" blank\""},
                                 {"=1+1", "'=1+1"},
                                 {"-1", "'-1"},
                                 {"@x,y", "\"'@x,y\""},
                                 {"<script>", "<script>"}};
  for (const Row& row : rows) {
    INFO(row.value);
    const std::vector<CsvField> field = {{"drydepth_spool", row.value}};
    const auto once = put_csv_fields("f\na\n", "f", "a", "", field);
    REQUIRE(once.has_value());
    CHECK(*once == "f,drydepth_spool\na," + std::string(row.cell) + "\n");
    CHECK(*put_csv_fields(*once, "f", "a", "", field) == *once);
  }
}

TEST_CASE("CSV fields: refused") {
  struct Row {
    const char* name;
    std::string text, typed, sentence;
  };
  const std::vector<Row> rows = {
      {"empty", "\n", "",
       "jobs.csv: the table is empty; give one with the names of its columns in the "
       "first line"},
      {"no row", "id,file\n1,xa.gcode\n", "",
       "jobs.csv: no row says \"a.gcode\"; add the job's row, or name it with --row "
       "WORD or --row COLUMN=WORD; columns: id, file"},
      {"only in a cell of ours", "id,drydepth_spool\n1,7\n", "7",
       "jobs.csv: no row says \"7\"; add the job's row, or name it with --row WORD or "
       "--row COLUMN=WORD; columns: id"},
      {"two rows", "id,file\n1,a.gcode\n2,x/a.gcode\n", "",
       "jobs.csv:3: a second row says \"a.gcode\", line 2 is the first; say which with "
       "--row COLUMN=WORD"},
      {"a quote that never closes", "id,file\n1,\"a.gcode\n2,b\n", "",
       "jobs.csv:2: a quoted cell that opens here never closes; close it with a quote"},
      {"words behind a quote", "id,file\n\"1\"x,a.gcode\n", "",
       "jobs.csv:2: something stands behind a closing quote; write a quote inside a "
       "quoted cell twice"},
      {"a column twice", "file,drydepth_verdict,drydepth_verdict\na.gcode,,\n", "",
       "jobs.csv:1: the column \"drydepth_verdict\" stands twice; leave one of the "
       "two"},
      {"a row that is too long", "id,file\n1,a.gcode\n2,b,c\n", "",
       "jobs.csv:3: this row has 3 cells, the header 2; mend one of the two; a cell "
       "with a delimiter in it wants quotes"}};
  for (const Row& row : rows) {
    INFO(row.name);
    const auto out = put(row.text, row.typed);
    REQUIRE_FALSE(out.has_value());
    CHECK(out.error().text() == row.sentence);
    CHECK(out.error().exit_code == 65);
  }
}

namespace {

// A random table of three columns with one row for the job.
std::string random_table(std::mt19937& random, char delimiter) {
  const std::vector<std::string> cells = {"",
                                          "x",
                                          "\"q\"",
                                          "\"a\"\"b\"",
                                          "1.5",
                                          "\"\"",
                                          " y ",
                                          "\xC3\xA9\xFF",
                                          "5'",
                                          "a\"b",
                                          "\"two\nlines\"",
                                          "\"" + std::string(1, delimiter) + "\""};
  const std::string next = random() % 2 == 0 ? "\n" : "\r\n";
  std::string out = random() % 4 == 0 ? "\xEF\xBB\xBF" : "";
  const auto rows = 1 + random() % 5, ours = random() % rows;
  out += std::string("id") + delimiter + "file" + delimiter + "note";
  for (std::size_t k = 0; k < rows; ++k) {
    out += next + "r" + std::to_string(k) + delimiter +
           (k == ours ? "p/a.gcode" : cells[random() % cells.size()]) + delimiter +
           cells[random() % cells.size()];
  }
  return out + (random() % 2 == 0 ? next : "");
}

}  // namespace

// Every byte of the host stands in the result, in its order; twice is once; and a put
// of other values and back is the same again.
TEST_CASE("CSV fields: random tables") {
  std::mt19937 random(4180);
  for (int k = 0; k < 2000; ++k) {
    const std::string text = random_table(random, ",;\t"[random() % 3]);
    INFO(text);
    const auto once = put(text);
    REQUIRE(once.has_value());
    std::size_t at = 0;
    for (const char c : *once) at += at < text.size() && text[at] == c;
    CHECK(at == text.size());
    CHECK(*put(*once) == *once);
    const auto other = put_csv_fields(
        *once, "f", "a.gcode", "",
        {{"drydepth_verdict", "\"z\""}, {"drydepth_limit_percent", "", true}});
    REQUIRE(other.has_value());
    CHECK(*put(*other) == *once);
  }
}
