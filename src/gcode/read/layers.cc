#include "gcode/read/layers.h"

#include <algorithm>
#include <array>
#include <utility>

#include "gcode/read/features.h"

namespace drydepth {
namespace {

// Common practice, no source: nobody prints thinner. A spiral rises by less in a move.
constexpr double kThinnestLayerMm = 0.04;
constexpr std::size_t kMostLayers = 1'000'000;

enum Span : std::uint32_t {
  kWipe = 1,
  kToolChange = 2,
  kFlush = 4,
  kConditional = 8,
  kObject = 16,
  kObjectM486 = 32,
  kObjectM624 = 64,
  kLoad = 128,
  kSettings = 256,
};

struct SpanWord {
  std::string_view text;  // a comment begins so, blanks before it aside
  Span span;
  bool inside;
};

constexpr std::array kSpanWords = {
    SpanWord{"WIPE_START", kWipe, true},
    SpanWord{"WIPE_END", kWipe, false},
    SpanWord{"CP TOOLCHANGE START", kToolChange, true},
    SpanWord{"CP TOOLCHANGE END", kToolChange, false},
    SpanWord{"FLUSH_START", kFlush, true},
    SpanWord{"FLUSH_END", kFlush, false},
    SpanWord{"printing object", kObject, true},
    SpanWord{"stop printing object", kObject, false},
    SpanWord{"CONFIG_BLOCK_START", kSettings, true},
    SpanWord{"CONFIG_BLOCK_END", kSettings, false},
    SpanWord{"prusaslicer_config = begin", kSettings, true},
    SpanWord{"prusaslicer_config = end", kSettings, false},
};

std::string_view skip_blanks(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  return first == text.npos ? std::string_view() : text.substr(first);
}

std::optional<double> leading_number(std::string_view text) {
  text = skip_blanks(text);
  const char* const end = text.data() + text.size();
  const Decimal number = read_decimal(text.data(), end);
  if (number.end == text.data()) return std::nullopt;
  return number.value;
}

bool starts_with_digit(std::string_view text) {
  return !text.empty() && text.front() >= '0' && text.front() <= '9';
}

std::optional<double> number_behind(std::string_view text, std::string_view word) {
  const auto at = text.find(word);
  if (at == text.npos) return std::nullopt;
  return leading_number(text.substr(at + word.size()));
}

/// Comments that follow a mark and belong to it, with the height in some.
struct Follower {
  bool belongs = false;
  std::optional<double> z_mm;
};

Follower read_follower(std::string_view line) {
  if (!line.starts_with(';')) return {};
  const std::string_view text = skip_blanks(line.substr(1));
  for (const std::string_view word : {"Z:", "Z_HEIGHT:"}) {
    if (text.starts_with(word)) return {true, leading_number(text.substr(word.size()))};
  }
  for (const std::string_view word :
       {"HEIGHT:", "LAYER_HEIGHT:", "AFTER_LAYER_CHANGE", "BEFORE_LAYER_CHANGE",
        "PRINTING_TIME:", "REMAINING_TIME:"}) {
    if (text.starts_with(word)) return {true, std::nullopt};
  }
  return {starts_with_digit(text), std::nullopt};
}

}  // namespace

const char* form_name(LayerForm form) {
  switch (form) {
    case LayerForm::kNone:
      return "the heights of the moves";
    case LayerForm::kLayerChange:
      return ";LAYER_CHANGE";
    case LayerForm::kChangeLayer:
      return "; CHANGE_LAYER";
    case LayerForm::kNumbered:
      return ";LAYER:n";
    case LayerForm::kNumberedZ:
      return "; layer n, Z = z";
    case LayerForm::kBeginObject:
      return "; BEGIN_LAYER_OBJECT";
    case LayerForm::kDashed:
      return ";; --- layer n";
    case LayerForm::kTag:
      return "; <layer>";
    case LayerForm::kParen:
      return "(<layer> z)";
    case LayerForm::kMoveToNext:
      return "; move to next layer";
  }
  return "";
}

LayerSign read_layer_sign(std::string_view line) {
  if (line.starts_with("(<layer>")) {
    return {LayerForm::kParen, leading_number(line.substr(8))};
  }
  if (line.starts_with("(Slice ")) return {LayerForm::kParen, std::nullopt};
  if (!line.starts_with(';') || line.size() < 6) return {};
  const std::string_view text = line.substr(1);
  switch (text.front()) {
    case 'L':
      if (text == "LAYER_CHANGE") return {LayerForm::kLayerChange, std::nullopt};
      if (text.starts_with("LAYER:")) return {LayerForm::kNumbered, std::nullopt};
      return {};
    case ' ':
      if (text.starts_with(" CHANGE_LAYER")) {
        return {LayerForm::kChangeLayer, std::nullopt};
      }
      if (text.starts_with(" layer ") && starts_with_digit(text.substr(7))) {
        return {LayerForm::kNumberedZ, number_behind(text, "Z =")};
      }
      if (text.starts_with(" BEGIN_LAYER_OBJECT")) {
        return {LayerForm::kBeginObject, number_behind(text, "z=")};
      }
      if (text.starts_with(" <layer>")) return {LayerForm::kTag, std::nullopt};
      return {};
    case ';':
      if (text.starts_with("; --- layer ")) {
        return {LayerForm::kDashed, std::nullopt};
      }
      return {};
    default:
      return {};
  }
}

bool LayerTracker::take_restarted() { return std::exchange(restarted_, false); }

bool LayerTracker::begin(LayerForm form, std::optional<double> z, const LineView& line,
                         double time_s) {
  if (form_ != LayerForm::kNone && form != form_) return false;
  if (form_ == LayerForm::kNone && form != LayerForm::kNone) {
    restarted_ = !layers_.empty();
    layers_.clear();
    form_ = form;
  }
  const bool repeated = form == LayerForm::kBeginObject && !layers_.empty() && z &&
                        layers_.back().z_mm == *z;
  if (repeated) return false;
  if (layers_.size() >= kMostLayers) {
    overflowed_ = true;
    return false;
  }
  LayerMark mark;
  mark.line = line.number;
  mark.z_mm = z.value_or(extruded_z_);
  mark.time_s = time_s;
  layers_.push_back(mark);
  wants_z_ = !z.has_value();
  pending_ = true;
  return true;
}

bool LayerTracker::take_comment(std::string_view text, const LineView& line,
                                double time_s) {
  const LayerSign sign = read_layer_sign(text);
  if (sign.form != LayerForm::kNone && (spans_ & kSettings) == 0) {
    return begin(sign.form, sign.z_mm, line, time_s);
  }
  if (text.starts_with(';')) {
    take_feature(text.substr(1));
    take_span(skip_blanks(text.substr(1)));
  }
  return false;
}

bool LayerTracker::take_marked_move(const Command& command, const LineView& line,
                                    double time_s) {
  if (!skip_blanks(command.comment).starts_with("move to next layer (")) return false;
  const auto z = command.has('Z') ? std::optional(command.value('Z')) : std::nullopt;
  return begin(LayerForm::kMoveToNext, z, line, time_s);
}

bool LayerTracker::take_height(double z_mm, const LineView& line, double time_s) {
  if (wants_z_ && !layers_.empty()) layers_.back().z_mm = z_mm;
  wants_z_ = false;
  extruded_z_ = z_mm;
  if (form_ != LayerForm::kNone) return false;
  // Objects printed one after the other begin again at the bottom.
  if (!layers_.empty()) base_z_ = std::min(base_z_, z_mm);
  if (!layers_.empty() && z_mm < base_z_ + kThinnestLayerMm) return false;
  const bool begun = begin(LayerForm::kNone, z_mm, line, time_s);
  base_z_ = z_mm;
  if (begun) settle(line);  // a block goes before the move itself
  return begun;
}

void LayerTracker::set_span(std::uint32_t span, bool inside) {
  spans_ = inside ? spans_ | span : spans_ & ~span;
}

void LayerTracker::take_feature(std::string_view text) {
  const auto feature = read_feature(text);
  if (!feature) return;
  feature_ = *feature;
  if (layers_.empty()) return;
  LayerMark& layer = layers_.back();
  if (layer.features == 0) layer.first_feature = *feature;
  layer.features = static_cast<std::uint8_t>(layer.features | *feature);
}

void LayerTracker::take_span(std::string_view text) {
  // Where a job marks the end of its start G-code, all before it is start G-code.
  if (text.starts_with("MACHINE_START_GCODE_END")) {
    for (LayerMark& layer : layers_) layer.safe = false;
    return;
  }
  for (const SpanWord& word : kSpanWords) {
    if (text.starts_with(word.text)) return set_span(word.span, word.inside);
  }
}

void LayerTracker::take_command(const Command& c) {
  if (c.has_minor) return;
  if (c.letter == 'M') {
    switch (c.number) {
      case 486:
        if (c.has('S')) set_span(kObjectM486, c.value('S') >= 0);
        return;
      case 620:
      case 621:
        return set_span(kLoad, c.number == 620);
      case 622:
      case 623:
        return set_span(kConditional, c.number == 622);
      case 624:
      case 625:
        return set_span(kObjectM624, c.number == 624);
      default:
        return;
    }
  }
  if (c.name == "EXCLUDE_OBJECT_START") set_span(kObject, true);
  if (c.name == "EXCLUDE_OBJECT_END") set_span(kObject, false);
}

void LayerTracker::settle(const LineView& line) {
  const Follower follower = read_follower(line.text);
  LayerMark& mark = layers_.back();
  if (follower.belongs) {
    if (follower.z_mm) mark.z_mm = *follower.z_mm;
    if (follower.z_mm) wants_z_ = false;
    return;
  }
  mark.insert_offset = line.offset;
  mark.insert_line = line.number;
  // An indented line belongs to a conditional block or to start G-code.
  const bool indented = !line.text.empty() && skip_blanks(line.text) != line.text;
  mark.safe = spans_ == 0 && !indented && line.offset > 0;
  pending_ = false;
}

void LayerTracker::finish(std::uint64_t bytes, std::uint64_t lines) {
  if (!pending_) return;
  layers_.back().insert_offset = bytes;
  layers_.back().insert_line = lines + 1;
  layers_.back().safe = false;
  pending_ = false;
}

}  // namespace drydepth
