#include "gcode/machine/limits.h"

#include <algorithm>
#include <optional>
#include <string_view>

#include "gcode/machine/dialect.h"
#include "gcode/machine/line.h"

namespace drydepth {
namespace {

constexpr std::string_view kAxisLetters = "XYZE";
constexpr double kSecondsPerMinute = 60;

struct AxisSetting {
  std::string_view key;  // with the axis letter behind it
  Axes MotionLimits::*limit;
};

constexpr std::array<AxisSetting, 3> kAxisSettings = {{
    {"machine_max_feedrate_", &MotionLimits::speed_mm_s},
    {"machine_max_acceleration_", &MotionLimits::accel_mm_s2},
    {"machine_max_jerk_", &MotionLimits::jerk_mm_s},
}};

struct Setting {
  std::string_view key;
  double MotionLimits::*limit;
};

// The last names were found in the settings of PrusaSlicer 2.5.0 jobs, but for the
// junction deviation, which is from memory.
constexpr std::array<Setting, 6> kSettings = {{
    {"machine_max_acceleration_extruding", &MotionLimits::print_accel_mm_s2},
    {"machine_max_acceleration_retracting", &MotionLimits::retract_accel_mm_s2},
    {"machine_max_acceleration_travel", &MotionLimits::travel_accel_mm_s2},
    {"machine_min_extruding_rate", &MotionLimits::min_print_mm_s},
    {"machine_min_travel_rate", &MotionLimits::min_travel_mm_s},
    {"machine_max_junction_deviation", &MotionLimits::deviation_mm},
}};

std::optional<double> first_number(std::string_view text) {
  const Decimal number = read_decimal(text.data(), text.data() + text.size());
  if (number.end == text.data()) return std::nullopt;
  return number.value;
}

/// The limit that a setting holds, or null.
double* limit_of(std::string_view key, MotionLimits& limits) {
  for (const Setting& setting : kSettings) {
    if (key == setting.key) return &(limits.*setting.limit);
  }
  for (const AxisSetting& setting : kAxisSettings) {
    if (key.size() != setting.key.size() + 1 || !key.starts_with(setting.key)) continue;
    const auto axis =
        kAxisLetters.find(static_cast<char>(key.back() >= 'a' ? key.back() - 32 : 0));
    if (axis != kAxisLetters.npos) return &(limits.*setting.limit)[axis];
  }
  return nullptr;
}

bool set_positive(double value, double& limit) {
  if (!(value > 0)) return false;
  limit = value;
  return true;
}

bool take_axes(const Command& c, double unit, Axes& limits) {
  bool changed = false;
  for (std::size_t a = 0; a < kAxisCount; ++a) {
    const char axis = kAxisLetters[a];
    if (c.has(axis)) changed |= set_positive(c.value(axis) * unit, limits[a]);
  }
  return changed;
}

// S sets printing and travel at once; a T beside it means the filament alone, as an old
// form has it.
bool take_accelerations(const Command& c, MotionLimits& limits) {
  bool changed = false;
  if (c.has('S')) {
    changed |= set_positive(c.value('S'), limits.print_accel_mm_s2);
    changed |= set_positive(c.value('S'), limits.travel_accel_mm_s2);
    changed |= set_positive(c.value_or('T', 0), limits.retract_accel_mm_s2);
    return changed;
  }
  changed |= set_positive(c.value_or('P', 0), limits.print_accel_mm_s2);
  changed |= set_positive(c.value_or('R', 0), limits.retract_accel_mm_s2);
  changed |= set_positive(c.value_or('T', 0), limits.travel_accel_mm_s2);
  return changed;
}

/// One acceleration for all: S, or the smaller of P and T when both are there.
bool take_common_acceleration(const Command& c, MotionLimits& limits) {
  double accel = c.value_or('S', 0);
  if (!c.has('S') && c.has('P') && c.has('T')) {
    accel = std::min(c.value('P'), c.value('T'));
  }
  return set_positive(accel, limits.print_accel_mm_s2) &&
         set_positive(accel, limits.travel_accel_mm_s2);
}

bool take_corners(const Command& c, MotionLimits& limits) {
  const bool deviates = limits.corner == CornerRule::kDeviation;
  bool changed = false;
  if (c.has('J') && set_positive(c.value('J'), limits.deviation_mm)) {
    limits.corner = CornerRule::kDeviation;
    changed = true;
  }
  // A firmware that knows deviations only takes them under X.
  const bool jerks = take_axes(c, 1, limits.jerk_mm_s);
  if (jerks && deviates && !c.has('J') && c.has('X') && !c.has('E')) {
    limits.deviation_mm = c.value('X');
  }
  changed |= jerks;
  changed |= set_positive(c.value_or('S', 0), limits.min_print_mm_s);
  changed |= set_positive(c.value_or('T', 0), limits.min_travel_mm_s);
  return changed;
}

}  // namespace

bool is_limit_setting(std::string_view key) {
  MotionLimits scratch;
  return key.starts_with("machine_") && limit_of(key, scratch) != nullptr;
}

KnownLimits limits_from_settings(const MotionLimits& defaults,
                                 const std::string& firmware_name,
                                 const std::map<std::string, Fact, std::less<>>& set) {
  KnownLimits known{defaults, "", false};
  for (const auto& [key, fact] : set) {
    const auto value = first_number(fact.value);
    double* const limit = limit_of(key, known.limits);
    if (!value || limit == nullptr || *value < 0) continue;
    // A slicer's 0 means no limit, and no deviation that it is not in use.
    *limit = *value;
    known.stated = true;
    if (key == "machine_max_junction_deviation" && *value > 0) {
      known.limits.corner = CornerRule::kDeviation;
    }
    if (known.source.empty())
      known.source = "the slicer's settings (" + fact.where + ")";
  }
  if (!known.stated) known.source = "the defaults kept here for " + firmware_name;
  return known;
}

bool take_limit_command(const Command& c, LimitForm form, MotionLimits& limits) {
  if (c.letter != 'M' || c.has_minor) return false;
  if (form == LimitForm::kNamed) {
    return c.number == 204 && take_common_acceleration(c, limits);
  }
  const bool minutes = form == LimitForm::kPerMinute;
  switch (c.number) {
    case 201:
      return take_axes(c, 1, limits.accel_mm_s2);
    case 203:
      return take_axes(c, minutes ? 1 / kSecondsPerMinute : 1, limits.speed_mm_s);
    case 204:
      return take_accelerations(c, limits);
    case 205:
      return take_corners(c, limits);
    case 566:
      return take_axes(c, 1 / kSecondsPerMinute, limits.jerk_mm_s);
    default:
      return false;
  }
}

bool take_velocity_limit(std::string_view words, MotionLimits& limits) {
  const auto value = [words](std::string_view key) -> std::optional<double> {
    for (auto at = words.find(key); at != words.npos; at = words.find(key, at + 1)) {
      const auto behind = at + key.size();
      const bool whole = at == 0 || words[at - 1] == ' ' || words[at - 1] == '\t';
      if (whole && behind < words.size() && words[behind] == '=') {
        return first_number(words.substr(behind + 1));
      }
    }
    return std::nullopt;
  };
  bool changed = false;
  if (const auto v = value("VELOCITY"); v && *v > 0) {
    limits.speed_mm_s[0] = limits.speed_mm_s[1] = *v;
    changed = true;
  }
  if (const auto a = value("ACCEL"); a && *a > 0) {
    limits.print_accel_mm_s2 = limits.travel_accel_mm_s2 = *a;
    changed = true;
  }
  if (const auto v = value("SQUARE_CORNER_VELOCITY"); v && *v >= 0) {
    limits.square_corner_mm_s = *v;
    changed = true;
  }
  if (const auto r = value("MINIMUM_CRUISE_RATIO"); r && *r >= 0 && *r < 1) {
    limits.cruise_ratio = *r;
    changed = true;
  }
  // The older word for the same: the acceleration that short moves are planned with.
  const auto slow = value("ACCEL_TO_DECEL");
  if (slow && *slow > 0 && limits.print_accel_mm_s2 > 0) {
    limits.cruise_ratio = 1 - std::min(*slow / limits.print_accel_mm_s2, 1.0);
    changed = true;
  }
  return changed;
}

}  // namespace drydepth
