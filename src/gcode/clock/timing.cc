#include "gcode/clock/timing.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace drydepth {
namespace {

/// Commands for which a machine lets all moves end first.
bool comes_to_rest(const Command& c) {
  if (c.letter == 'T') return true;
  if (c.letter == 'G') return c.number == 4 || c.number == 28 || c.number == 29;
  if (c.letter != 'M') return false;
  switch (c.number) {
    case 0:
    case 1:
    case 109:
    case 116:
    case 190:
    case 226:
    case 400:
    case 600:
    case 601:
      return true;
    default:
      return false;
  }
}

}  // namespace

double dwell_s(const Command& c) {
  const double seconds = c.value_or('S', 0) + c.value_or('P', 0) / 1000;
  return std::max(seconds, 0.0);
}

std::optional<double> number_behind(std::string_view text, std::string_view prefix) {
  if (!text.starts_with(prefix)) return std::nullopt;
  text.remove_prefix(prefix.size());
  while (text.starts_with(' ')) text.remove_prefix(1);
  const Decimal number = read_decimal(text.data(), text.data() + text.size());
  if (number.end == text.data()) return std::nullopt;
  return number.value;
}

Timing::Timing(const Dialect& dialect, KnownLimits start)
    : form_(dialect.limit_form),
      start_(std::move(start)),
      limits_(start_.limits),
      planner_(limits_) {}

void Timing::note_limits(std::string_view command) {
  planner_.set_limits(limits_);
  if (limit_commands_.find(command) != limit_commands_.npos) return;
  limit_commands_ += (limit_commands_.empty() ? "" : ", ") + std::string(command);
}

void Timing::take_command(const Command& c) {
  if (c.has_minor) return;
  if (c.is('M', 73) && c.has('R')) clock_.remaining(raw_s_, c.value('R'));
  if (take_limit_command(c, form_, limits_)) {
    note_limits("M" + std::to_string(c.number));
  }
  if (!comes_to_rest(c)) return;
  const double wait_s = c.is('G', 4) ? dwell_s(c) : 0;
  raw_s_ += wait_s;
  planner_.rest(wait_s, raw_s_);
}

void Timing::take_named(const Command& c) {
  if (c.name == "SET_VELOCITY_LIMIT" && take_velocity_limit(c.text, limits_)) {
    note_limits(c.name);
  }
}

void Timing::take_comment(std::string_view text) {
  if (const auto s = number_behind(text, ";TIME_ELAPSED:")) clock_.elapsed(raw_s_, *s);
  if (const auto s = number_behind(text, ";PRINTING_TIME:")) clock_.elapsed(raw_s_, *s);
}

KnownLimits Timing::limits() const {
  KnownLimits known{limits_, start_.source, start_.stated};
  if (!limit_commands_.empty()) {
    known.source = "the job's own " + limit_commands_ + " over " + known.source;
    known.stated = true;
  }
  return known;
}

TimeScale Timing::finish(TimeFacts facts) {
  const KnownLimits known = limits();
  facts.planned = planner_.finish(raw_s_);
  facts.limits_source = known.source;
  facts.limits_stated = known.stated;
  return clock_.settle(std::move(facts));
}

}  // namespace drydepth
