#include "report/into/summary.h"

#include <catch2/catch.hpp>

#include "report/hostile_report.h"
#include "report/into/host.h"

using namespace drydepth;

namespace {

bool has(const std::string& text, std::string_view piece) {
  return text.find(piece) != std::string::npos;
}

std::string joined(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines) out += line + "\n";
  return out;
}

}  // namespace

TEST_CASE("summary: escaped for each format") {
  const Report report = hostile_report();
  const std::string markdown = joined(summary_markdown(report, utc_zone()));
  const std::string html = joined(summary_html(report, utc_zone()));
  for (const char* piece : {"<b>", "-->", "<!--", "\r"}) {
    INFO(piece);
    CHECK_FALSE(has(markdown, piece));
    CHECK_FALSE(has(html, piece));
  }
  CHECK(has(markdown,
            "| T0 from K\\|7\\`&lt;b&gt;\\* --&gt; \xC3\xA9\xF0\x9F\x98\x80, feed |"));
  CHECK(has(html, "K|7`&lt;b&gt;*"));
  CHECK(has(html, "--&gt; &#233;&#128512;, feed</th>"));
  for (const char c : html) CHECK(static_cast<unsigned char>(c) < 0x80);
  for (const std::string& line : summary_markdown(report, utc_zone())) {
    CHECK_FALSE(line.starts_with('#'));
  }
  for (const char* piece : {"style", "class", "<h", "<div"})
    CHECK_FALSE(has(html, piece));
}

TEST_CASE("summary: each row of a table has as many cells as its header") {
  for (const bool told : {true, false}) {
    Report report = hostile_report(told);
    for (const bool nominal : {false, true}) {
      report.nominal = nominal;
      for (const std::string& line : summary_markdown(report, utc_zone())) {
        if (!line.starts_with('|')) continue;
        INFO(line);
        std::size_t bars = 0;
        for (std::size_t k = 0; k < line.size(); ++k) {
          bars += line[k] == '|' && (k == 0 || line[k - 1] != '\\');
        }
        CHECK(bars == (nominal ? 5U : 7U));
      }
    }
  }
}

TEST_CASE("summary: a host in each format takes it, and again without a change") {
  struct Row {
    HostFormat format;
    std::string text;
  };
  const std::vector<Row> rows = {
      {HostFormat::kMarkdown, "# Job\r\n\r\n<!-- drydepth:here -->\r\nend\r\n"},
      {HostFormat::kHtml, "<p>a</p><!-- drydepth:here --><p>b</p>"},
      {HostFormat::kJson, "{\"a\": 1.0}"},
      {HostFormat::kCsv, "id;file\n1;x/<!-- drydepth:end -->.gcode\n"}};
  for (const Row& row : rows) {
    for (const bool told : {true, false}) {
      const Report report = hostile_report(told);
      const auto once = put_summary({"f", row.format, row.text}, report, utc_zone());
      REQUIRE(once.has_value());
      CHECK(*once != row.text);
      const auto twice = put_summary({"f", row.format, *once}, report, utc_zone());
      REQUIRE(twice.has_value());
      CHECK(*twice == *once);
      // From one report to another and back.
      const auto other =
          put_summary({"f", row.format, *once}, hostile_report(!told), utc_zone());
      REQUIRE(other.has_value());
      CHECK(*other != *once);
      CHECK(*put_summary({"f", row.format, *other}, report, utc_zone()) == *once);
    }
  }
}

TEST_CASE("summary: a record that says too little claims nothing") {
  const Report report = hostile_report(false);
  const auto fields = summary_fields(report, utc_zone());
  for (const CsvField& field : fields) {
    INFO(field.column);
    if (field.number) CHECK(field.value.empty());
    if (field.column == "drydepth_verdict") CHECK(field.value == "cannot-tell");
    if (field.column == "drydepth_valid_until") CHECK(field.value.empty());
  }
  const std::string markdown = joined(summary_markdown(report, utc_zone()));
  CHECK(has(markdown, "| open (in use) | cannot-tell | - | - | - | - |"));
  CHECK(has(markdown, "cannot tell its moisture"));
}

TEST_CASE("summary: of several tools the table holds the gravest") {
  Report report = hostile_report();
  SpoolReport second = report.spools.front();
  second.tool = 1;
  second.of.record.id = "second";
  FeedReport feed = report.feeds.front();
  feed.tool = 1;
  for (const auto& [share, id] : {std::pair<double, std::string>{1.0, "second"},
                                  {0.0, report.spools.front().of.record.id}}) {
    Report both = report;
    both.feeds.front().race.limits.cosmetic.share_above = 0.5;
    feed.race.limits.cosmetic.share_above = share;
    both.feeds.push_back(feed);
    both.spools.push_back(second);
    for (const CsvField& field : summary_fields(both, utc_zone())) {
      if (field.column == "drydepth_spool") CHECK(field.value == id);
    }
  }
}

TEST_CASE("summary: the format of a host, by word or by name") {
  struct Row {
    const char *file, *word;
    HostFormat format;
  };
  for (const Row& row :
       {Row{"a/job.md", "", HostFormat::kMarkdown},
        Row{"JOB.MARKDOWN", "", HostFormat::kMarkdown},
        Row{"job.html", "", HostFormat::kHtml}, Row{"job.htm", "", HostFormat::kHtml},
        Row{"job.json", "", HostFormat::kJson}, Row{"jobs.tsv", "", HostFormat::kCsv},
        Row{"job.txt", "markdown", HostFormat::kMarkdown},
        Row{"job.json", "csv", HostFormat::kCsv}}) {
    INFO(row.file);
    CHECK(*host_format(row.file, row.word) == row.format);
  }
  CHECK(host_format("job.txt", "").error().text() ==
        "--into: the name \"job.txt\" does not say what format it has; add "
        "--into-format markdown, html, json or csv");
  CHECK(host_format("job.txt", "jsn").error().text() ==
        "--into-format: unknown format \"jsn\"; did you mean json? Known: markdown, "
        "html, json, csv");
}
