#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "gcode/machine/line.h"
#include "gcode/machine/splitter.h"
#include "gcode/read/trace.h"

namespace drydepth {

/// The forms in which slicers mark a layer. The first one met in a job is its form;
/// others in the same job are users' own additions.
enum class LayerForm {
  kNone,
  kLayerChange,  ///< ;LAYER_CHANGE
  kChangeLayer,  ///< ; CHANGE_LAYER
  kNumbered,     ///< ;LAYER:n
  kNumberedZ,    ///< ; layer n, Z = z
  kBeginObject,  ///< ; BEGIN_LAYER_OBJECT z=z, one for each object
  kDashed,       ///< ;; --- layer n (...) ---
  kTag,          ///< ; <layer>
  kParen,        ///< (<layer> z ) or (Slice n, ...)
  kMoveToNext    ///< a move with the comment "; move to next layer (n)"
};

/// As a person would call the form: ";LAYER_CHANGE"; "the heights of the moves" for
/// none.
const char* form_name(LayerForm form);

struct LayerSign {
  LayerForm form = LayerForm::kNone;
  std::optional<double> z_mm;
};

/// What a whole-line comment marks, given the line without leading blanks.
LayerSign read_layer_sign(std::string_view line);

/// Collects the layers of a job and knows where a block may be put in. Without any mark
/// a layer begins where extrusion goes on at a greater height; hops do not extrude.
class LayerTracker {
 public:
  /// Once a line, before anything else.
  void arrive(const LineView& line) {
    if (pending_) settle(line);
  }
  /// A whole-line comment. True when a layer begins.
  bool take_comment(std::string_view text, const LineView& line, double time_s);
  /// A command other than a move.
  void take_command(const Command& command);
  /// A move with Z and the comment of a layer change. True when a layer begins.
  bool take_marked_move(const Command& command, const LineView& line, double time_s);
  /// A move that extrudes while it travels. True when a layer begins.
  bool take_extrusion(double z_mm, const LineView& line, double time_s) {
    if (z_mm == extruded_z_ && !wants_z_) return false;
    return take_height(z_mm, line, time_s);
  }
  /// End of the job. A mark with nothing behind it is no place for a block.
  void finish(std::uint64_t bytes, std::uint64_t lines);

  std::uint32_t current() const {
    return layers_.empty() ? 0 : static_cast<std::uint32_t>(layers_.size() - 1);
  }
  bool none_yet() const { return layers_.empty(); }
  /// True once after the layers found by height were dropped for marked ones.
  bool take_restarted();
  LayerForm form() const { return form_; }
  /// Kind of path that was announced last; 0 before any.
  std::uint8_t feature() const { return feature_; }
  bool overflowed() const { return overflowed_; }
  std::vector<LayerMark>& layers() { return layers_; }

 private:
  bool begin(LayerForm form, std::optional<double> z, const LineView& line,
             double time_s);
  bool take_height(double z_mm, const LineView& line, double time_s);
  void settle(const LineView& line);
  void take_feature(std::string_view text);
  void take_span(std::string_view text);
  void set_span(std::uint32_t span, bool inside);

  std::vector<LayerMark> layers_;
  LayerForm form_ = LayerForm::kNone;
  std::uint8_t feature_ = 0;
  bool pending_ = false;  // the last mark waits for its place of insertion
  bool wants_z_ = false;  // the last mark did not state its height
  bool restarted_ = false;
  bool overflowed_ = false;
  double extruded_z_ = 0;
  double base_z_ = 0;        // height from which a rise is measured
  std::uint32_t spans_ = 0;  // kinds of spans that are open
};

}  // namespace drydepth
