#include "record/typed/attended.h"

#include <optional>
#include <string>

#include "base/exit_code.h"

namespace drydepth {
namespace {

constexpr int kMinutesADay = 24 * 60;

std::optional<int> minute_of_day(std::string_view text) {
  if (text.size() != 5) return std::nullopt;
  const auto read = parse_civil("2000-01-01 " + std::string(text));
  if (!read) return std::nullopt;
  return read->time.hour * 60 + read->time.minute;
}

}  // namespace

Result<Attended> parse_attended(std::string_view text) {
  const auto dash = text.find('-');
  if (dash != text.npos) {
    const auto from = minute_of_day(text.substr(0, dash));
    const auto to = minute_of_day(text.substr(dash + 1));
    if (from && to && *from != *to) return Attended{*from, *to};
  }
  return Error{"", "\"" + std::string(text) + "\" is no span of the day",
               "write e.g. 07:00-22:00", kExitUsage};
}

bool attended_at(const Attended& hours, Instant at, const LocalZone& zone) {
  const CivilTime local = to_local(at, zone);
  const int now = local.hour * 60 + local.minute;
  const int length = (hours.to_min - hours.from_min + kMinutesADay) % kMinutesADay;
  return (now - hours.from_min + kMinutesADay) % kMinutesADay < length;
}

}  // namespace drydepth
