#pragma once

#include <cmath>
#include <map>
#include <optional>

#include "gcode/machine/dialect.h"
#include "gcode/machine/line.h"
#include "gcode/machine/motion.h"

namespace drydepth {

/// What a move does.
struct Move {
  double length_mm = 0;   ///< of the nozzle's path
  double radius_mm = 0;   ///< of an arc, else 0
  Point enter;            ///< travel if the whole path went as it begins
  Point leave;            ///< the same as it ends
  double speed_mm_s = 0;  ///< the feed in force
  double time_s = 0;      ///< at the feed in force, without acceleration
  double filament = 0;    ///< mm of filament, flow factor applied; < 0 retracts
  double unscaled = 0;    ///< the same without the flow factor
  bool has_e = false;
  bool moves_xy = false;
  double e_word = 0;  ///< as it stands
};

/// The E flags under the three rules at once, so that a job can be told for which the
/// choice of rule changes nothing.
struct EFlags {
  bool by_set = false;  ///< relative under ERule::kSet
  bool axes = false;    ///< G91 in force
  bool own = false;     ///< M83 in force
  bool relative(ERule rule) const {
    return rule == ERule::kSet ? by_set : rule == ERule::kOr ? axes || own : own;
  }
  bool rules_agree() const { return by_set == own && own == (axes || own); }
};

/// The modal state of a machine that runs a job: units, distance modes, positions,
/// feed, tool, flow. Filament lengths come out in mm whatever the job's own unit is.
class Modal {
 public:
  /// volumetric: E words are mm3 unless M200 says otherwise; diameters by tool then
  /// must be given (1.75 where one is missing).
  Modal(const Dialect& dialect, bool relative_e, bool volumetric,
        std::map<int, double> diameters_mm);

  /// Takes a G0, G1, G2, G3 or G5.
  Move move(const Command& command);  // below, since a job has millions
  /// Takes any other command; those that change no state are ignored.
  void apply(const Command& command);
  /// Takes a tool change; pseudo tools change nothing.
  void select_tool(int tool);

  int tool() const { return tool_; }
  double z_mm() const { return position_.z; }
  bool relative_e() const { return relative_e_; }
  /// True where the choice among the three rules changes nothing.
  bool e_rules_agree() const { return e_rules_agree_; }
  bool e_mode_stated() const { return e_mode_stated_; }
  bool flow_changed() const { return flow_changed_; }
  double flow(int tool) const;
  /// Extra filament that M208 has every recovery push, summed since the last call.
  double take_recover_extra();

 private:
  struct ToolState {
    double flow = 1;
    double mm_per_unit = 1;  // 1 for mm, else 1 / cross-section
  };
  ToolState& state_of(int tool);
  double target(const Command& c, char letter, double now) const;
  Path curved_path(const Command& c, const Point& travel);
  Path arc_in_plane(const Command& c, const Point& travel) const;
  Path bezier(const Command& c, const Point& travel);
  struct Extrusion {
    bool has_e = false;
    double e_word = 0, filament = 0, unscaled = 0;  // as in Move
  };
  Extrusion extrude(const Command& c);
  void apply_g(const Command& c);
  void apply_m(const Command& c);
  void home(const Command& c);
  void set_relative(bool relative);
  void settle_e_mode();
  void set_relative_e(bool relative);
  void set_position(const Command& c);
  void set_flow(const Command& c);
  void set_volumetric(const Command& c);
  void set_diameters(const Command& c);
  void set_feed(double feed_mm_s);
  void set_speed_factor(const Command& c);
  void retract(const Command& c);
  char e_axis(const Command& c) const;
  char other_e_axis(const Command& c) const;

  const Dialect* dialect_;
  char first_e_axis_;
  bool has_other_e_axes_;
  bool volumetric_;
  std::map<int, double> diameters_mm_;
  double unit_mm_ = 1;
  bool relative_axes_ = false;
  EFlags e_;
  bool relative_e_ = false;  // what e_ comes to
  bool e_rules_agree_ = true;
  bool e_mode_stated_ = false;
  bool e_held_ = false;  // relative from the start: a G90 before any M82 leaves it so
  Point position_;
  double e_position_ = 0;  // in E words' unit
  enum class Plane { kXy, kZx, kYz };
  Plane plane_ = Plane::kXy;
  Point last_handle_;  // Q of the last G5, which a G5 without I and J goes on with
  bool last_was_bezier_ = false;
  double feed_mm_s_ = 0;
  double speed_mm_s_ = 0;  // with the factor
  double seconds_per_mm_ = 0;
  double speed_factor_ = 1;
  double saved_speed_factor_ = 1;
  int tool_ = 0;
  std::map<int, ToolState> tools_;
  ToolState* active_ = nullptr;  // into tools_, whose nodes stay where they are
  double common_flow_ = 1;       // where flow is not kept by tool
  bool flow_changed_ = false;
  bool retracted_ = false;
  double recover_extra_mm_ = 0;
  double recovered_mm_ = 0;
};

/// Where a move goes along one axis.
inline double Modal::target(const Command& c, char letter, double now) const {
  if (!c.has(letter)) return now;
  const double value = c.value(letter) * unit_mm_;
  return relative_axes_ ? now + value : value;
}

inline char Modal::e_axis(const Command& c) const {
  if (c.has(first_e_axis_)) return first_e_axis_;
  return has_other_e_axes_ ? other_e_axis(c) : 0;
}

inline Modal::Extrusion Modal::extrude(const Command& c) {
  const char axis = e_axis(c);
  if (axis == 0) return {};
  const double word = c.value(axis);
  const double delta = relative_e_ ? word : word - e_position_;
  e_position_ = relative_e_ ? e_position_ + word : word;
  // Volumes scale with the cube of the length unit.
  const bool volume = active_->mm_per_unit != 1;
  const double unit = volume ? unit_mm_ * unit_mm_ * unit_mm_ : unit_mm_;
  const double unscaled = delta * unit * active_->mm_per_unit;
  const double flow = dialect_->flow_per_tool ? active_->flow : common_flow_;
  return {true, word, unscaled * flow, unscaled};
}

inline Move Modal::move(const Command& c) {
  const double x = target(c, 'X', position_.x);
  const double y = target(c, 'Y', position_.y);
  const double z = target(c, 'Z', position_.z);
  const Point travel = {x - position_.x, y - position_.y, z - position_.z};
  Point enter = travel;
  Point leave = travel;
  double length_mm = 0;
  double radius_mm = 0;
  if (c.number <= 1) {
    length_mm = line_length_mm(travel);
  } else {
    const Path path = curved_path(c, travel);
    length_mm = path.length_mm;
    radius_mm = path.radius_mm;
    enter = path.enter;
    leave = path.leave;
  }
  last_was_bezier_ = c.number == 5;
  position_ = {x, y, z};
  if (c.has('F')) set_feed(c.value('F') * unit_mm_ / 60);
  const Extrusion e = extrude(c);
  return {
      .length_mm = length_mm,
      .radius_mm = radius_mm,
      .enter = enter,
      .leave = leave,
      .speed_mm_s = speed_mm_s_,
      .time_s = (length_mm > 0 ? length_mm : std::abs(e.unscaled)) * seconds_per_mm_,
      .filament = e.filament,
      .unscaled = e.unscaled,
      .has_e = e.has_e,
      .moves_xy = travel.x != 0 || travel.y != 0,
      .e_word = e.e_word};
}

constexpr double kUsualDiameterMm = 1.75;  // common practice, no source

/// Cross-section of a round filament.
double section_mm2(double diameter_mm);

}  // namespace drydepth
