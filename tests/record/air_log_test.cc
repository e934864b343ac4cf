#include "record/air_log.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "moisture/air.h"
#include "record/record_text.h"

namespace drydepth {
namespace {

constexpr Instant kStart{Seconds(1772438400)};  // 2026-03-02T08:00:00Z
constexpr StatedAir kRoom{.temperature_k = 296.15, .activity = 0.4};

AirSeries read_log(const std::string& text, const AirLog& log = {}) {
  Result<AirSeries> series = read_air_log(text, "d.csv", log, kStart);
  if (!series) FAIL(series.error().text());
  return *std::move(series);
}

std::string minutes_text(int count, const std::string& temperature,
                         const std::string& humidity) {
  std::string out = "minutes,temperature_c,rh\n";
  for (int i = 0; i < count; ++i) {
    out += std::to_string(i) + "," + temperature + "," + humidity + "\n";
  }
  return out;
}

TEST_CASE("one reading in many dresses") {
  struct Row {
    std::string label;
    std::string text;
  };
  const Row rows[] = {
      {"commas", "time,temperature_c,rh_percent\n2026-03-02T09:00:00Z,70,12\n"},
      {"semicolons and decimal commas",
       "DateTime;Temp (\xC2\xB0"
       "C);Humidity [%]\n2026-03-02T10:00:00+01:00;70,0;12,0\n"},
      {"tabs, Fahrenheit", "seconds\tTemperature (F)\tRH\n3600\t158\t12\n"},
      {"quotes, kelvin, other columns",
       "\"no\",\"hours\",\"temperature_k\",\"rh\"\n\"7\",\"1\",\"343,15\",\"12\"\n"},
      {"unix", "unix,temp,hum\n1772442000,70,12\n"},
      {"remark, blank line, line ends, byte order mark",
       "\xEF\xBB\xBF# logger 3\r\n\r\nminutes,temperature,humidity\r\n60,70,12\r\n"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const AirSeries series = read_log(row.text);
    REQUIRE(series.readings.size() == 1);
    CHECK(format_instant(series.readings[0].at) == "2026-03-02T09:00:00Z");
    CHECK(series.readings[0].temperature_k == Approx(343.15).epsilon(1e-9));
    REQUIRE(series.readings[0].activity);
    CHECK(*series.readings[0].activity == Approx(0.12));
    CHECK(series.notes.empty());
  }
}

// IAPWS: 1.2281 kPa at 10 C and 3.1699 kPa at 25 C (steam tables): 38.74 %.
TEST_CASE("a dew point gives the humidity") {
  const AirSeries series = read_log("seconds,temperature_c,dew_point_c\n0,25,10\n");
  CHECK(*series.readings[0].activity == Approx(1.2281 / 3.1699).epsilon(1e-3));
}

TEST_CASE("files that cannot be used") {
  struct Row {
    std::string text;
    std::string error;
  };
  const Row rows[] = {
      {"",
       "d.csv: there are no rows below a header line; give a table with the names of "
       "its columns in the first line"},
      {"seconds,rh\n0,40\n",
       "d.csv:1: no column holds the temperature; name one temperature_c, "
       "temperature_f "
       "or temperature_k"},
      {"when,temp\n0,40\n",
       "d.csv:1: no column tells the time, there are: when, temp; name one time "
       "(moments "
       "with their zone), or seconds, minutes or hours"},
      {"seconds,temp inside,temp outside\n0,40,20\n",
       "d.csv:1: two columns could be meant, \"temp inside\" and \"temp outside\"; "
       "keep "
       "one of them, or rename the other"},
      {"time,temp\n2026-03-02 09:00,70\n",
       "d.csv:2: \"2026-03-02 09:00\" does not say its time zone; end it with Z for "
       "UTC "
       "or with an offset such as +01:00"},
      {"seconds,temp\n0,hot\n",
       "d.csv:2: \"hot\" is no temperature from -40 to 200 C; mend the row, or name "
       "the "
       "unit in the header"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    const auto series = read_air_log(row.text, "d.csv", {}, kStart);
    REQUIRE_FALSE(series.has_value());
    CHECK(series.error().text() == row.error);
  }
}

TEST_CASE("rows that are bad or out of order are named") {
  const AirSeries series = read_log(
      "seconds,temp,rh\n0,70,10.5\nx,70,10\n120,70,11\n60,71,11\n180,999,11\n");
  CHECK(series.readings.size() == 3);
  CHECK(series.readings[1].temperature_k == Approx(344.15));
  REQUIRE(series.notes.size() == 2);
  CHECK(series.notes[0] == "d.csv: 2 rows cannot be read and are left out (line 3, 6)");
  CHECK(series.notes[1] ==
        "d.csv: 1 row out of order (first at line 5), sorted by time");
}

TEST_CASE("a humidity at the sensor's floor carries no number") {
  struct Row {
    std::string label;
    std::string text;
    AirLog log;
    double activity;
  };
  // Heated room air: 40 % of 2.8111 kPa at 23 C over 38.597 kPa at 75 C (steam tables).
  const double heated = 0.4 * 2.8111 / 38.597;
  const Row rows[] = {
      {"stuck where sensors end", minutes_text(60, "75", "20"), {}, heated},
      {"too short to tell", minutes_text(20, "75", "20"), {}, 0.20},
      {"stuck elsewhere", minutes_text(60, "75", "13"), {}, 0.13},
      {"stated", minutes_text(2, "75", "13"), {.floor = 0.15}, heated},
      {"stated lower than the air", minutes_text(2, "75", "2"), {.floor = 0.02}, 0.02},
      {"no humidity", minutes_text(2, "75", ""), {}, heated},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const AirSeries series = read_log(row.text, row.log);
    const auto got = pieces(series, kStart, kStart + Seconds(60), kRoom);
    REQUIRE(got.size() == 1);
    CHECK(got[0].begin.activity == Approx(row.activity).epsilon(2e-3));
  }
}

TEST_CASE("what is said of a log") {
  struct Row {
    std::string label;
    std::string text;
    std::string note;
  };
  const Row rows[] = {
      {"gap", "hours,temp,rh\n0,70,15\n0.5,70,15\n3,70,15\n",
       "d.csv: a gap of 2.5 h from 2026-03-02T08:30:00Z, bridged by a straight line"},
      {"late", "hours,temp,rh\n1,70,15\n1.5,70,15\n2,70,15\n2.5,70,15\n3,70,15\n",
       "d.csv: begins 1.0 h late, its first row stands for that time"},
      {"floor", minutes_text(181, "70", "20"),
       "d.csv: all rows are at or under the sensor's floor of 20 %: taken as room air, "
       "heated, at most the floor"},
      {"none", minutes_text(181, "70", "--"),
       "d.csv: all rows have no humidity: taken as that of room air, heated"},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const auto notes =
        air_log_notes(read_log(row.text), kStart, kStart + Seconds(10800));
    REQUIRE(notes.size() == 1);
    CHECK(notes[0] == row.note);
  }
}

// A warm-up to 70 C with a thermostat's swing of 3 K, a row every 10 seconds.
double smooth_k(double s) { return 343.15 - 47 * std::exp(-s / 7200); }

AirSeries warm_up() {
  AirSeries series{.file = "d.csv"};
  for (int i = 0; i <= 4320; ++i) {
    const double s = 10.0 * i;
    const double t = smooth_k(s) + 3 * std::sin(s * 2 * 3.14159265 / 300);
    series.readings.push_back(
        {kStart + Seconds(10 * i), t,
         0.4 * saturation_pressure_pa(296.15) / saturation_pressure_pa(t)});
  }
  return series;
}

TEST_CASE("few pieces stay within the tolerance of what a spool can follow") {
  const AirSeries series = warm_up();
  const Instant end = series.readings.back().at;
  const auto got = pieces(series, kStart, end, kRoom);
  CHECK(got.size() < 30);  // of 4320 rows
  CHECK(got.front().from == kStart);
  CHECK(got.back().to == end);
  const double pressure = 0.4 * saturation_pressure_pa(296.15);
  for (std::size_t k = 0; k < got.size(); ++k) {
    if (k > 0) {
      CHECK(got[k - 1].to == got[k].from);
      CHECK(got[k - 1].end == got[k].begin);
    }
    const double s = seconds_between(kStart, got[k].to);
    INFO("piece " << k << " to " << s << " s");
    // 0.2 K, and the swing at the moment of the first and last row.
    const double slack = k + 1 == got.size() ? 0.2 : 0.3;
    CHECK(std::abs(got[k].end.temperature_k - smooth_k(s)) < slack);
    const double a = pressure / saturation_pressure_pa(smooth_k(s));
    CHECK(got[k].end.activity == Approx(a).epsilon(0.03));
  }
}

TEST_CASE("beyond its rows the nearest stands, between them a straight line") {
  const AirSeries series = read_log("hours,temp,rh\n1,20,50\n2,40,20\n");
  const auto got = pieces(series, kStart, kStart + Seconds(3 * 3600), kRoom);
  REQUIRE(got.size() == 3);
  CHECK(got[0].begin.temperature_k == Approx(293.15));
  CHECK(got[0].end.temperature_k == Approx(293.15).margin(0.2));
  CHECK(format_instant(got[1].from) == "2026-03-02T09:00:00Z");
  CHECK(got[2].end.temperature_k == Approx(313.15).margin(0.2));
  const auto half =
      pieces(series, kStart + Seconds(5400), kStart + Seconds(7200), kRoom);
  CHECK(half.front().begin.temperature_k == Approx(303.15));
}

}  // namespace
}  // namespace drydepth
