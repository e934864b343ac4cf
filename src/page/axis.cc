#include "page/axis.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/numbers.h"

namespace drydepth {
namespace {

constexpr std::array<std::string_view, 10> kRaised = {"⁰", "¹", "²", "³", "⁴",
                                                      "⁵", "⁶", "⁷", "⁸", "⁹"};

double power_of_ten(int exponent) { return std::pow(10.0, exponent); }

int decade_below(double value) {
  // A value that is a power of ten belongs to its own decade whatever log10 rounds to.
  return static_cast<int>(std::floor(std::log10(value) + 1e-9));
}

int decimals_of(double step) { return std::clamp(-decade_below(step), 0, 9); }

bool plain(int exponent) { return exponent >= -3 && exponent <= 4; }

// Plain digits where few will do all along the axis, else a power of ten with a raised
// exponent.
std::string power_label(int factor, int exponent, bool digits) {
  if (digits) {
    return format_fixed(factor * power_of_ten(exponent), std::max(0, -exponent));
  }
  if (exponent == 0) return std::to_string(factor);
  std::string out = factor == 1 ? "10" : std::to_string(factor) + "×10";
  if (exponent < 0) out += "⁻";
  for (const char digit : std::to_string(std::abs(exponent))) {
    out += kRaised[static_cast<std::size_t>(digit - '0')];
  }
  return out;
}

void fit_linear(FittedAxis& out, const Axis& axis, int ticks) {
  if (!(out.high > out.low)) {
    const double room = out.low == 0 ? 1 : std::abs(out.low) / 2;
    if (!axis.low && out.low != 0) out.low -= room;
    out.high = out.low + (axis.low || out.low == 0 ? room : 2 * room);
  }
  const double step = round_step(out.high - out.low, ticks);
  const double first = std::floor(out.low / step + 1e-9);
  const double last = std::ceil(out.high / step - 1e-9);
  if (!axis.low) out.low = first * step;
  if (!axis.high) out.high = last * step;
  for (double k = first; k <= last + 0.5; ++k) {
    const double at = k * step;
    if (at < out.low - 1e-9 * step || at > out.high + 1e-9 * step) continue;
    out.ticks.push_back({at, format_fixed(at, decimals_of(step))});
  }
}

void fit_log(FittedAxis& out, const Axis& axis) {
  constexpr std::array<int, 3> kFactors = {1, 2, 5};
  const int first = decade_below(out.low);
  const int last = decade_below(out.high) + 1;
  const bool fine = std::log10(out.high / out.low) <= 2.0;
  const bool digits = plain(first) && plain(last - 1);
  std::vector<Tick> all;
  for (int decade = first; decade <= last; ++decade) {
    for (const int factor : kFactors) {
      if (factor > 1 && (!fine || decade == last)) continue;
      all.push_back(
          {factor * power_of_ten(decade), power_label(factor, decade, digits)});
    }
  }
  // The ends move out to the nearest ticks around the data.
  constexpr double kHair = 1e-9;
  double low = all.front().at, high = all.back().at;
  for (const Tick& tick : all) {
    if (tick.at <= out.low * (1 + kHair)) low = tick.at;
  }
  for (auto tick = all.rbegin(); tick != all.rend(); ++tick) {
    if (tick->at >= out.high * (1 - kHair)) high = tick->at;
  }
  if (!axis.low) out.low = low;
  if (!axis.high) out.high = std::max(high, out.low * 2);
  for (const Tick& tick : all) {
    if (tick.at >= out.low * (1 - kHair) && tick.at <= out.high * (1 + kHair)) {
      out.ticks.push_back(tick);
    }
  }
}

}  // namespace

double round_step(double range, int pieces) {
  const double raw = range / std::max(1, pieces);
  const int decade = decade_below(raw);
  for (const double factor : {1.0, 2.0, 5.0}) {
    const double step =
        decade < 0 ? factor / power_of_ten(-decade) : factor * power_of_ten(decade);
    if (step >= raw * (1 - 1e-9)) return step;
  }
  return power_of_ten(decade + 1);
}

FittedAxis fit_axis(const Axis& axis, std::span<const double> values, int ticks) {
  const bool log = axis.scale == AxisScale::kLog;
  FittedAxis out{.scale = axis.scale};
  bool any = false;
  for (const double v : values) {
    if (!std::isfinite(v) || (log && v <= 0)) continue;
    out.low = any ? std::min(out.low, v) : v;
    out.high = any ? std::max(out.high, v) : v;
    any = true;
  }
  if (!any) {
    out.low = log ? 1 : 0;
    out.high = log ? 10 : 1;
  }
  out.low = axis.low.value_or(out.low);
  out.high = axis.high.value_or(out.high);
  if (log)
    fit_log(out, axis);
  else
    fit_linear(out, axis, ticks);
  return out;
}

double share_along(const FittedAxis& axis, double value) {
  if (axis.scale == AxisScale::kLinear) {
    return (value - axis.low) / (axis.high - axis.low);
  }
  if (value <= 0) return 0;
  return std::log(value / axis.low) / std::log(axis.high / axis.low);
}

}  // namespace drydepth
