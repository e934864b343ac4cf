#include "gcode/machine/modal.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace drydepth {
namespace {

constexpr double kInchMm = 25.4;  // exact by definition

constexpr int kMostTools = 63;  // T255, T1000, T1100 are frames, not filaments

Point scaled(const Point& p, double factor) {
  return {p.x * factor, p.y * factor, p.z * factor};
}

}  // namespace

double section_mm2(double diameter_mm) {
  return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

Modal::Modal(const Dialect& dialect, bool relative_e, bool volumetric,
             std::map<int, double> diameters_mm)
    : dialect_(&dialect),
      first_e_axis_(dialect.e_axes.front()),
      has_other_e_axes_(dialect.e_axes.size() > 1),
      volumetric_(volumetric),
      diameters_mm_(std::move(diameters_mm)) {
  e_.by_set = e_.own = e_held_ = relative_e;
  settle_e_mode();
  active_ = &state_of(0);
}

Modal::ToolState& Modal::state_of(int tool) {
  const auto [at, fresh] = tools_.try_emplace(tool);
  if (fresh && volumetric_) {
    const auto known = diameters_mm_.find(tool);
    const double d = known == diameters_mm_.end() ? kUsualDiameterMm : known->second;
    at->second.mm_per_unit = 1 / section_mm2(d);
  }
  return at->second;
}

double Modal::flow(int tool) const {
  const auto at = tools_.find(tool);
  const double own = at == tools_.end() ? 1 : at->second.flow;
  return dialect_->flow_per_tool ? own : common_flow_;
}

double Modal::take_recover_extra() { return std::exchange(recovered_mm_, 0.0); }

char Modal::other_e_axis(const Command& c) const {
  for (const char axis : dialect_->e_axes) {
    if (c.has(axis)) return axis;
  }
  return 0;
}

void Modal::select_tool(int tool) {
  if (tool < 0 || tool > kMostTools) return;
  tool_ = tool;
  active_ = &state_of(tool);
}

// An arc in another plane is one in XY with its axes renamed in turn.
Path Modal::arc_in_plane(const Command& c, const Point& t) const {
  const double i = c.value_or('I', 0) * unit_mm_;
  const double j = c.value_or('J', 0) * unit_mm_;
  const double k = c.value_or('K', 0) * unit_mm_;
  Arc arc;
  if (c.has('R')) arc.radius_mm = c.value('R') * unit_mm_;
  arc.clockwise = c.number == 2;
  // P counts turns; "P1" is the stated one.
  arc.extra_turns = std::clamp(c.integer('P').value_or(1) - 1, 0, 10000);
  const auto with = [&arc](Point travel, double first, double second) {
    arc.travel = travel;
    arc.centre_x_mm = first;
    arc.centre_y_mm = second;
    return arc_path(arc);
  };
  if (plane_ == Plane::kZx) {
    Path path = with({t.z, t.x, t.y}, k, i);
    path.enter = {path.enter.y, path.enter.z, path.enter.x};
    path.leave = {path.leave.y, path.leave.z, path.leave.x};
    return path;
  }
  if (plane_ == Plane::kYz) {
    Path path = with({t.y, t.z, t.x}, j, k);
    path.enter = {path.enter.z, path.enter.x, path.enter.y};
    path.leave = {path.leave.z, path.leave.x, path.leave.y};
    return path;
  }
  return with(t, i, j);
}

Path Modal::bezier(const Command& c, const Point& travel) {
  Bezier curve;
  curve.travel = travel;
  if (c.has('I') || c.has('J')) {
    curve.first_handle = {c.value_or('I', 0) * unit_mm_, c.value_or('J', 0) * unit_mm_,
                          0};
  } else if (last_was_bezier_) {
    curve.first_handle = {-last_handle_.x, -last_handle_.y, 0};
  }
  curve.second_handle = {c.value_or('P', 0) * unit_mm_, c.value_or('Q', 0) * unit_mm_,
                         0};
  last_handle_ = curve.second_handle;
  return bezier_path(curve);
}

/// With travels in place of directions.
Path Modal::curved_path(const Command& c, const Point& travel) {
  Path path = c.number == 5 ? bezier(c, travel) : arc_in_plane(c, travel);
  path.enter = scaled(path.enter, path.length_mm);
  path.leave = scaled(path.leave, path.length_mm);
  return path;
}

void Modal::set_position(const Command& c) {
  if (c.bare()) {
    if (!dialect_->bare_g92_zeroes) return;
    position_ = {};
    e_position_ = 0;
    return;
  }
  if (c.has('X')) position_.x = c.value('X') * unit_mm_;
  if (c.has('Y')) position_.y = c.value('Y') * unit_mm_;
  if (c.has('Z')) position_.z = c.value('Z') * unit_mm_;
  if (const char axis = e_axis(c); axis != 0) e_position_ = c.value(axis);
}

// Forms without a number behind S switch soft end stops on some printers and are no
// flow.
void Modal::set_flow(const Command& c) {
  if (!c.has('S') || c.value('S') < 0) return;
  const double stated = c.value('S') / 100;
  const double factor =
      dialect_->max_flow > 0 ? std::min(stated, dialect_->max_flow) : stated;
  flow_changed_ = flow_changed_ || factor != 1;
  const int tool = c.integer('T').value_or(c.integer('D').value_or(tool_));
  if (tool >= 0 && tool <= kMostTools) state_of(tool).flow = factor;
  common_flow_ = factor;
}

void Modal::set_diameters(const Command& c) {
  std::string_view rest = c.text.substr(c.text.find('D') + 1);
  for (int tool = 0; tool <= kMostTools; ++tool) {
    const Decimal d = read_decimal(rest.data(), rest.data() + rest.size());
    if (d.end == rest.data()) return;
    if (d.value > 0) diameters_mm_[tool] = d.value * unit_mm_;
    state_of(tool).mm_per_unit = d.value > 0 ? 1 / section_mm2(d.value * unit_mm_) : 1;
    rest.remove_prefix(static_cast<std::size_t>(d.end - rest.data()));
    if (!rest.starts_with(':')) return;
    rest.remove_prefix(1);
  }
}

// "D1.75:2.85" states the diameters of all extruders in order.
void Modal::set_volumetric(const Command& c) {
  const auto list = c.text.find(':');
  if (c.has('D') && list < c.text.find(';')) return set_diameters(c);
  const int tool = c.integer('T').value_or(tool_);
  if (tool < 0 || tool > kMostTools) return;
  ToolState& state = state_of(tool);
  if (c.has('D')) {
    const double d = c.value('D') * unit_mm_;
    if (d > 0) diameters_mm_[tool] = d;
    state.mm_per_unit = d > 0 ? 1 / section_mm2(d) : 1;
  }
  if (!c.has('S')) return;
  const auto known = diameters_mm_.find(tool);
  const double d = known == diameters_mm_.end() ? kUsualDiameterMm : known->second;
  state.mm_per_unit = c.value('S') > 0 ? 1 / section_mm2(d) : 1;
}

void Modal::set_feed(double feed_mm_s) {
  feed_mm_s_ = feed_mm_s;
  speed_mm_s_ = feed_mm_s_ * speed_factor_;
  seconds_per_mm_ = speed_mm_s_ > 0 ? 1 / speed_mm_s_ : 0;
}

void Modal::set_speed_factor(const Command& c) {
  if (c.mentions('B')) saved_speed_factor_ = speed_factor_;
  if (c.has('S') && c.value('S') > 0) speed_factor_ = c.value('S') / 100;
  if (c.mentions('R')) speed_factor_ = saved_speed_factor_;
  set_feed(feed_mm_s_);
}

// A retraction by the firmware is given back in full, plus what M208 adds.
void Modal::retract(const Command& c) {
  const bool sets_tools =
      c.number == 10 && dialect_->g10_sets_tools &&
      (c.mentions('P') || c.mentions('L') || c.mentions('R') || c.mentions('S'));
  if (sets_tools) return;
  const bool recovers = c.number == 11 || c.number == 23;
  if (recovers && retracted_) recovered_mm_ += recover_extra_mm_;
  retracted_ = !recovers;
}

void Modal::home(const Command& c) {
  const bool all = !c.mentions('X') && !c.mentions('Y') && !c.mentions('Z');
  if (all || c.mentions('X')) position_.x = 0;
  if (all || c.mentions('Y')) position_.y = 0;
  if (all || c.mentions('Z')) position_.z = 0;
}

void Modal::settle_e_mode() {
  relative_e_ = e_.relative(dialect_->e_rule);
  e_rules_agree_ = e_.rules_agree();
}

void Modal::set_relative(bool relative) {
  relative_axes_ = e_.axes = relative;
  if (!e_held_) e_.by_set = relative;
  settle_e_mode();
}

void Modal::set_relative_e(bool relative) {
  e_.own = e_.by_set = relative;
  e_mode_stated_ = true;
  e_held_ = false;
  settle_e_mode();
}

void Modal::apply_g(const Command& c) {
  switch (c.number) {
    case 10:
    case 11:
    case 22:
    case 23:
      return retract(c);
    case 17:
    case 18:
    case 19:
      plane_ = c.number == 17 ? Plane::kXy : c.number == 18 ? Plane::kZx : Plane::kYz;
      return;
    case 20:
    case 21:
      unit_mm_ = c.number == 20 ? kInchMm : 1;
      return;
    case 28:
      return home(c);
    case 90:
    case 91:
      return set_relative(c.number == 91);
    case 92:
      return set_position(c);
    default:
      return;
  }
}

void Modal::apply_m(const Command& c) {
  switch (c.number) {
    case 82:
    case 83:
      return set_relative_e(c.number == 83);
    case 108:
    case 135:
      return select_tool(c.integer('T').value_or(-1));
    case 200:
      return set_volumetric(c);
    case 208:
      recover_extra_mm_ = std::max(c.value_or('S', 0), 0.0) * unit_mm_;
      return;
    case 220:
      return set_speed_factor(c);
    case 221:
      return set_flow(c);
    default:
      return;
  }
}

void Modal::apply(const Command& c) {
  if (c.has_minor) return;
  if (c.letter == 'T') return select_tool(c.number);
  if (c.letter == 'G') return apply_g(c);
  if (c.letter == 'M') return apply_m(c);
}

}  // namespace drydepth
