#include "record/typed/quantity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <string>

#include "base/numbers.h"
#include "base/units.h"

namespace drydepth {
namespace {

std::string quoted(std::string_view text) { return "\"" + std::string(text) + "\""; }

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

// value = number * factor + offset
struct Unit {
  std::string_view name;
  double factor;
  double offset;
};

// What a kind of quantity is called, how to write one, and its units.
struct Kind {
  std::string_view name;
  std::string_view example;
  std::string_view with_unit;  // what to append to a bare number
  std::span<const Unit> units;
};

// 0 F = -32/1.8 C, exactly.
constexpr double kZeroFahrenheitK = kZeroCelsiusK - 32 / 1.8;
constexpr std::array<Unit, 5> kTemperatures = {{{"c", 1, kZeroCelsiusK},
                                                {"°c", 1, kZeroCelsiusK},
                                                {"f", 1 / 1.8, kZeroFahrenheitK},
                                                {"°f", 1 / 1.8, kZeroFahrenheitK},
                                                {"k", 1, 0}}};
constexpr std::array<Unit, 3> kHumidities = {
    {{"%", 0.01, 0}, {"rh", 0.01, 0}, {"%rh", 0.01, 0}}};
// The international pound of 1959 is 0.45359237 kg, exactly.
constexpr std::array<Unit, 5> kMasses = {{{"mg", 1e-6, 0},
                                          {"g", 0.001, 0},
                                          {"kg", 1, 0},
                                          {"oz", 0.45359237 / 16, 0},
                                          {"lb", 0.45359237, 0}}};

constexpr Kind kTemperatureKind{"temperature", "82C", "C or F", kTemperatures};
constexpr Kind kHumidityKind{"humidity", "45%", "% for percent", kHumidities};
constexpr Kind kMassKind{"mass", "1211.4g", "g, kg, oz or lb", kMasses};

// A hint for decimals behind a comma.
std::optional<std::string> with_point(std::string_view text) {
  const std::size_t comma = text.find(',');
  const bool inside = comma != text.npos && comma > 0 && comma + 1 < text.size() &&
                      text.find(',', comma + 1) == text.npos;
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  if (!inside || !is_digit(text[comma - 1]) || !is_digit(text[comma + 1])) return {};
  std::string pointed(text);
  pointed[comma] = '.';
  return "decimals stand behind a point: " + pointed;
}

Result<double> parse_quantity(std::string_view text, const Kind& kind) {
  const std::optional<NumberAndRest> number = parse_leading_number(text);
  const std::string name(kind.name);
  if (number && number->rest.empty()) {
    return Error{"", "the " + name + " " + quoted(text) + " has no unit",
                 "put " + std::string(kind.with_unit) + " behind the number"};
  }
  if (number) {
    const std::string unit = lower(number->rest);
    for (const Unit& known : kind.units) {
      if (unit == known.name) return number->value * known.factor + known.offset;
    }
  }
  return Error{"", "expected a " + name + ", got " + quoted(text),
               with_point(text).value_or("write e.g. " + std::string(kind.example))};
}

std::optional<Seconds> unit_of_time(std::string_view unit) {
  if (unit == "s") return Seconds(1);
  if (unit == "min") return Seconds(60);
  if (unit == "h") return Seconds(3600);
  if (unit == "d") return Seconds(86400);
  return std::nullopt;
}

// Days away from today that a word stands for.
struct DayWord {
  std::string_view word;
  int days;
};
constexpr std::array<DayWord, 3> kDayWords = {
    {{"yesterday ", -1}, {"today ", 0}, {"tomorrow ", 1}}};

CivilTime on_day(const CivilTime& date, const CivilTime& time_of_day, int days) {
  const std::chrono::sys_days base =
      std::chrono::year_month_day{std::chrono::year(date.year),
                                  std::chrono::month(static_cast<unsigned>(date.month)),
                                  std::chrono::day(static_cast<unsigned>(date.day))};
  const CivilTime shifted =
      to_local(Instant(base + std::chrono::days(days)), utc_zone());
  CivilTime out = time_of_day;
  out.year = shifted.year;
  out.month = shifted.month;
  out.day = shifted.day;
  return out;
}

bool has_zone(std::string_view text) {
  if (text.size() < 17) return false;
  return text.ends_with('Z') || text.ends_with('z') ||
         text.find_first_of("+-", 11) != std::string_view::npos;
}

Result<Instant> nearest_time_of_day(const CivilTime& time, Instant now,
                                    const LocalZone& zone, Lean lean) {
  const CivilTime today = to_local(now, zone);
  const Result<Instant> same_day = from_local(on_day(today, time, 0), zone);
  if (!same_day) return same_day;
  if (lean == Lean::kPast) {
    if (*same_day <= now) return same_day;
    return from_local(on_day(today, time, -1), zone);
  }
  if (*same_day > now) return same_day;
  return from_local(on_day(today, time, 1), zone);
}

}  // namespace

Result<double> parse_temperature_k(std::string_view text) {
  const Result<double> t_k = parse_quantity(text, kTemperatureKind);
  if (!t_k) return t_k;
  const double t_c = to_celsius(Kelvin{*t_k}).value;
  if (t_c >= -40 && t_c <= 200) return t_k;
  return Error{"", quoted(text) + " is not a temperature of air around a spool",
               "write one from -40C to 200C"};
}

Result<double> parse_activity(std::string_view text) {
  const Result<double> activity = parse_quantity(text, kHumidityKind);
  if (!activity || (*activity >= 0 && *activity <= 1)) return activity;
  return Error{"", quoted(text) + " is not a relative humidity",
               "write one from 0% to 100%"};
}

Result<double> parse_mass_kg(std::string_view text) {
  const Result<double> mass = parse_quantity(text, kMassKind);
  if (!mass || *mass > 0) return mass;
  return Error{"", quoted(text) + " is not a mass above 0", "write e.g. 1211.4g"};
}

Result<Seconds> parse_duration(std::string_view text) {
  const Error not_a_duration{"", "expected a duration, got " + quoted(text),
                             "write e.g. 10h, 90min or 1h30min"};
  std::string_view rest = text;
  double total_s = 0;
  while (!rest.empty()) {
    const std::optional<NumberAndRest> number = parse_leading_number(rest);
    if (!number) return not_a_duration;
    if (number->rest.empty()) {
      return Error{"", "the duration " + quoted(text) + " has no unit",
                   "put h or min behind the number"};
    }
    const std::size_t end =
        std::min(number->rest.find_first_of("0123456789."), number->rest.size());
    std::optional<Seconds> unit = unit_of_time(number->rest.substr(0, end));
    // Alone it could be metres; behind hours it is minutes.
    if (total_s > 0 && number->rest.substr(0, end) == "m") unit = Seconds(60);
    if (!unit) return not_a_duration;
    total_s += number->value * static_cast<double>(unit->count());
    rest = number->rest.substr(end);
  }
  constexpr double kLongest = 100 * 365.25 * 86400;
  if (!(total_s >= 1) || total_s > kLongest) return not_a_duration;
  return Seconds(std::llround(total_s));
}

Result<StatedAir> parse_air(std::string_view text) {
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos) {
    return Error{"", "expected temperature and humidity, got " + quoted(text),
                 "write e.g. 23C/45%"};
  }
  const Result<double> temperature = parse_temperature_k(text.substr(0, slash));
  if (!temperature) return temperature.error();
  const Result<double> activity = parse_activity(text.substr(slash + 1));
  if (!activity) return activity.error();
  return StatedAir{.temperature_k = *temperature, .activity = *activity};
}

Result<Instant> parse_moment(std::string_view text, Instant now, const LocalZone& zone,
                             Lean lean) {
  if (text == "now") return now;
  if (has_zone(text)) return parse_instant(text);
  for (const DayWord& day : kDayWords) {
    if (!text.starts_with(day.word)) continue;
    const Result<DateAndTime> time = parse_civil(text.substr(day.word.size()));
    if (!time) return time.error();
    if (time->has_date) break;
    return from_local(on_day(to_local(now, zone), time->time, day.days), zone);
  }
  const Result<DateAndTime> time = parse_civil(text);
  if (!time) return time.error();
  if (time->has_date) return from_local(time->time, zone);
  return nearest_time_of_day(time->time, now, zone, lean);
}

}  // namespace drydepth
