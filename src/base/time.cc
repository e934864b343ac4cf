#include "base/time.h"

#include <ctime>
#include <optional>

namespace drydepth {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::sys_days;

// Exactly `count` digits from the front of text, which moves on.
std::optional<int> take_digits(std::string_view& text, std::size_t count) {
  if (text.size() < count) return std::nullopt;
  int value = 0;
  for (const char c : text.substr(0, count)) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  text.remove_prefix(count);
  return value;
}

bool take(std::string_view& text, char c) {
  if (!text.starts_with(c)) return false;
  text.remove_prefix(1);
  return true;
}

bool is_date(const CivilTime& t) {
  const std::chrono::year_month_day date{
      std::chrono::year(t.year), std::chrono::month(static_cast<unsigned>(t.month)),
      std::chrono::day(static_cast<unsigned>(t.day))};
  return date.ok();
}

bool is_time_of_day(const CivilTime& t) {
  return t.hour < 24 && t.minute < 60 && t.second < 60;
}

bool take_date(std::string_view& text, CivilTime& out) {
  const std::optional<int> year = take_digits(text, 4);
  if (!year || !take(text, '-')) return false;
  const std::optional<int> month = take_digits(text, 2);
  if (!month || !take(text, '-')) return false;
  const std::optional<int> day = take_digits(text, 2);
  if (!day) return false;
  out.year = *year;
  out.month = *month;
  out.day = *day;
  return true;
}

// HH:MM, with :SS and a fraction where they stand.
bool take_time_of_day(std::string_view& text, CivilTime& out) {
  const std::optional<int> hour = take_digits(text, 2);
  if (!hour || !take(text, ':')) return false;
  const std::optional<int> minute = take_digits(text, 2);
  if (!minute) return false;
  out.hour = *hour;
  out.minute = *minute;
  out.second = 0;
  if (!take(text, ':')) return true;
  const std::optional<int> second = take_digits(text, 2);
  if (!second) return false;
  out.second = *second;
  if (take(text, '.')) {
    if (!take_digits(text, 1)) return false;
    while (take_digits(text, 1)) {
    }
  }
  return true;
}

// "Z", "+01:00" or "-0530".
std::optional<Seconds> take_zone(std::string_view& text) {
  if (take(text, 'Z') || take(text, 'z')) return Seconds(0);
  const bool west = text.starts_with('-');
  if (!take(text, '+') && !take(text, '-')) return std::nullopt;
  const std::optional<int> h = take_digits(text, 2);
  take(text, ':');
  const std::optional<int> m = take_digits(text, 2);
  if (!h || !m || *h > 14 || *m > 59) return std::nullopt;
  const Seconds offset = hours(*h) + minutes(*m);
  return west ? -offset : offset;
}

// The moment at which a clock set to UTC would show this.
Instant as_utc(const CivilTime& t) {
  const std::chrono::year_month_day date{
      std::chrono::year(t.year), std::chrono::month(static_cast<unsigned>(t.month)),
      std::chrono::day(static_cast<unsigned>(t.day))};
  return sys_days(date) + hours(t.hour) + minutes(t.minute) + Seconds(t.second);
}

CivilTime from_utc(Instant at) {
  const sys_days day = std::chrono::floor<days>(at);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss<Seconds> time(at - day);
  return {.year = static_cast<int>(date.year()),
          .month = static_cast<int>(static_cast<unsigned>(date.month())),
          .day = static_cast<int>(static_cast<unsigned>(date.day())),
          .hour = static_cast<int>(time.hours().count()),
          .minute = static_cast<int>(time.minutes().count()),
          .second = static_cast<int>(time.seconds().count())};
}

std::string two(int value) {
  std::string out = std::to_string(value);
  return out.size() < 2 ? "0" + out : out;
}

std::string date_text(const CivilTime& t) {
  std::string year = std::to_string(t.year);
  while (year.size() < 4) year.insert(0, "0");
  return year + "-" + two(t.month) + "-" + two(t.day);
}

std::string minute_text(const CivilTime& t) {
  return two(t.hour) + ":" + two(t.minute);
}

std::string quoted(std::string_view text) { return "\"" + std::string(text) + "\""; }

}  // namespace

LocalZone utc_zone() {
  return {[](Instant) { return Seconds(0); }};
}

LocalZone system_zone() {
  return {[](Instant at) {
    const std::time_t time = at.time_since_epoch().count();
    std::tm tm{};
    tzset();
    if (localtime_r(&time, &tm) == nullptr) return Seconds(0);
    const CivilTime shown{.year = tm.tm_year + 1900,
                          .month = tm.tm_mon + 1,
                          .day = tm.tm_mday,
                          .hour = tm.tm_hour,
                          .minute = tm.tm_min,
                          .second = tm.tm_sec};
    return as_utc(shown) - at;
  }};
}

Result<Instant> parse_instant(std::string_view text) {
  const Error not_a_moment{"", "expected a moment in UTC, got " + quoted(text),
                           "write e.g. 2026-03-02T08:00:00Z"};
  std::string_view rest = text;
  CivilTime t;
  if (!take_date(rest, t)) return not_a_moment;
  if (!take(rest, 'T') && !take(rest, 't') && !take(rest, ' ')) return not_a_moment;
  if (!take_time_of_day(rest, t)) return not_a_moment;
  if (!is_date(t) || !is_time_of_day(t)) {
    return Error{"", quoted(text) + " is not on the calendar or the clock",
                 "write e.g. 2026-03-02T08:00:00Z"};
  }
  if (rest.empty()) {
    return Error{"", quoted(text) + " does not say its time zone",
                 "end it with Z for UTC or with an offset such as +01:00"};
  }
  const std::optional<Seconds> offset = take_zone(rest);
  if (!offset || !rest.empty()) return not_a_moment;
  return as_utc(t) - *offset;
}

std::string format_instant(Instant at) {
  const CivilTime t = from_utc(at);
  return date_text(t) + "T" + minute_text(t) + ":" + two(t.second) + "Z";
}

std::string format_local(Instant at, const LocalZone& zone) {
  const CivilTime t = to_local(at, zone);
  return date_text(t) + " " + minute_text(t);
}

CivilTime to_local(Instant at, const LocalZone& zone) {
  return from_utc(at + zone.offset_at(at));
}

Result<Instant> from_local(const CivilTime& local, const LocalZone& zone) {
  // A zone changes its offset at most once within two days, so the offsets a day to
  // either side are the only candidates; each must agree with itself.
  const Instant naive = as_utc(local);
  const Instant early = naive - zone.offset_at(naive - days(1));
  const Instant late = naive - zone.offset_at(naive + days(1));
  const bool early_holds = early + zone.offset_at(early) == naive;
  const bool late_holds = late + zone.offset_at(late) == naive;
  if (early_holds && late_holds && early != late) {
    return Error{"",
                 minute_text(local) + " comes twice on " + date_text(local) +
                     ", when the clocks go back",
                 "give it in UTC, e.g. " + format_instant(early) + " for the first"};
  }
  if (early_holds) return early;
  if (late_holds) return late;
  return Error{"",
               minute_text(local) + " does not exist on " + date_text(local) +
                   ", when the clocks go forward",
               "give the hour before or after"};
}

Result<DateAndTime> parse_civil(std::string_view text) {
  const Error not_a_time{"", "expected a time, got " + quoted(text),
                         "write e.g. 22:00 or \"2026-03-02 22:00\""};
  std::string_view rest = text;
  DateAndTime out;
  if (text.size() >= 10) {
    if (!take_date(rest, out.time)) return not_a_time;
    out.has_date = true;
  }
  const bool has_time_of_day = !out.has_date || !rest.empty();
  if (out.has_date && has_time_of_day && !take(rest, ' ') && !take(rest, 'T')) {
    return not_a_time;
  }
  if (has_time_of_day) {
    if (rest.size() == 4 && rest[1] == ':') {  // 9:05
      const std::string padded = "0" + std::string(rest);
      std::string_view view = padded;
      if (!take_time_of_day(view, out.time)) return not_a_time;
      rest = {};
    } else if (!take_time_of_day(rest, out.time)) {
      return not_a_time;
    }
  }
  if (!rest.empty()) return not_a_time;
  if (!is_date(out.time) || !is_time_of_day(out.time)) {
    return Error{"", quoted(text) + " is not on the calendar or the clock",
                 "write e.g. 22:00 or \"2026-03-02 22:00\""};
  }
  return out;
}

}  // namespace drydepth
