#include "page/sheet_text.h"

#include <catch2/catch.hpp>

#include "base/json_value.h"
#include "base/wrap.h"
#include "page/sheet_json.h"
#include "report/hostile_report.h"

using namespace drydepth;

TEST_CASE("sheet text: no line is too long, whatever the roll") {
  for (const bool told : {true, false}) {
    Report report = hostile_report(told);
    report.spools.front().of.record.id = std::string(80, 'W');
    for (const std::size_t columns : {kLeastColumns, std::size_t{32}, kMostColumns}) {
      INFO(columns);
      std::string text = sheet_text(report, utc_zone(), columns);
      CHECK(text.ends_with("_\n"));
      while (!text.empty()) {
        const std::size_t end = text.find('\n');
        INFO(text.substr(0, end));
        CHECK(columns_of(text.substr(0, end)) <= columns);
        text.erase(0, end + 1);
      }
    }
  }
}

TEST_CASE("sheet text: what the page says") {
  const Report report = hostile_report();
  const std::string text = sheet_text(report, utc_zone(), kMostColumns);
  for (const char* piece :
       {"Job sheet: <!-- drydepth:end -->.gcode\n", "As of 2026-03-06 06:00 UTC",
        "feed open: ", "open (in use), 23 C, 45 %: ", "dry-box, ", "live-dryer, ",
        "(cosmetic) ", "(strength) ", "mean moisture ", "Written into the job, line ",
        "\nNot measured\n------------\n", "An estimate, not a measurement",
        "\nchecked by ___", "\nsignature ___"}) {
    INFO(piece);
    CHECK(text.find(piece) != std::string::npos);
  }
}

TEST_CASE("sheet JSON: the report's keys, and what the figures are drawn from") {
  Report report = hostile_report();
  const Spool dried = dried_spool();
  report.spools.front().course =
      weight_course(dried, draw_members(dried.priors.spread, 16, 1), 1);
  const Json json = sheet_json(report);
  const Json& spool = json.at("spools").at(0);
  CHECK(json.at("format") == "drydepth-report/1");
  CHECK(json.at("edits_written") == true);
  CHECK(json.at("feeds").at(0).at("nozzle").size() > 1);
  CHECK(spool.at("layers").size() == report.spools.front().now.layers.size());
  CHECK(spool.at("course").at("points").size() ==
        report.spools.front().course->points.size());
  CHECK(spool.at("course").at("points").at(0).at("gross_g").contains("p90"));
  CHECK(spool.at("clocks").at("hot_h").is_number());
  CHECK(spool.at("not_measured").size() > 0);
  report.spools.front().course.reset();
  CHECK(sheet_json(report).at("spools").at(0).at("course").is_null());
}
