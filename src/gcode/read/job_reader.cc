#include "gcode/read/job_reader.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/numbers.h"
#include "gcode/read/features.h"

namespace drydepth {
namespace {

constexpr std::size_t kMostHeats = 65536;
constexpr std::size_t kLongestNameList = 400;

std::string times(std::uint64_t count) {
  return count == 1 ? "once" : std::to_string(count) + " times";
}

/// "extruder2" is tool 2, "extruder" tool 0.
std::optional<int> extruder_number(std::string_view text) {
  constexpr std::string_view kKey = "EXTRUDER=extruder";
  const auto at = text.find(kKey);
  if (at == text.npos) return std::nullopt;
  return static_cast<int>(number_behind(text.substr(at), kKey).value_or(0));
}

}  // namespace

JobReader::JobReader(std::string job_name, const ScanOptions& options, Reading reading)
    : job_name_(std::move(job_name)),
      options_(&options),
      reading_(std::move(reading)),
      modal_(*reading_.dialect, reading_.start_mode == EMode::kRelative,
             reading_.volumetric, reading_.filament_diameter_mm),
      timing_(*reading_.dialect, reading_.limits) {
  read_environment(metadata_, options.environment);
  select_curve();
}

void JobReader::fail(std::string where, std::string what, std::string hint) {
  if (error_) return;
  error_ = Error{job_name_ + where, std::move(what), std::move(hint)};
}

void JobReader::select_curve() {
  curve_ = &curves_[modal_.tool()];
  printed_ = &printed_by_tool_[modal_.tool()];
}

JobPlace JobReader::place(const LineView& line) const {
  return {line.number, layers_.current()};
}

bool JobReader::feed(std::string_view bytes) {
  if (first_bytes_.size() < 4) {
    first_bytes_.append(bytes.substr(0, 4 - first_bytes_.size()));
    check_kind();
  }
  if (error_) return false;
  plain_.begin_buffer(bytes);
  splitter_.feed(
      bytes,
      [this](std::string_view rest) {
        const std::size_t length = plain_.read(rest);
        is_plain_ = length != 0;
        return length;
      },
      [this](const LineView& line) { take_line(line); });
  return !error_;
}

void JobReader::check_kind() {
  if (first_bytes_ == "GCDE") {
    fail("", "this is binary G-code, which cannot be read or edited",
         "switch \"Use binary G-code\" off in the slicer's preferences and printer "
         "settings, and slice again");
  } else if (first_bytes_ == "PK\x03\x04") {
    fail("", "this is a packed file (zip, 3mf), not G-code",
         "give the .gcode file that lies inside it");
  } else if (first_bytes_.starts_with("\x1f\x8b")) {
    fail("", "this is a compressed file (gzip), not G-code", "unpack it first");
  }
}

void JobReader::take_line(const LineView& line) {
  if (error_) return;
  last_line_ended_ = line.ended;
  if (!header_.done()) header_.take(line);
  layers_.arrive(line);
  if (is_plain_) return take_move(plain_.command(), line);
  if (line.text.empty()) return;
  if (line.text.front() == ';' || line.text.front() == '(') {
    return take_comment(line.text, line);
  }
  parse_line(line.text, command_);
  const Command& c = command_;
  if (c.letter == 0) {
    if (!c.name.empty()) return take_named(line);
    // A comment behind blanks: with its semicolon, as a whole-line comment has it.
    const auto semicolon = line.text.find(';');
    if (semicolon != line.text.npos) take_comment(line.text.substr(semicolon), line);
    return;
  }
  if (c.lower_case) {
    evidence_.lower_case = true;
    if (!reading_.dialect->lower_case) {
      ++ignored_lower_case_;
      return;
    }
  }
  const bool moves = c.letter == 'G' && !c.has_minor && c.number >= 0 &&
                     (c.number <= 3 || c.number == 5);
  if (moves) return take_move(c, line);
  take_command(line);
}

void JobReader::take_comment(std::string_view text, const LineView& line) {
  const double raw_s = timing_.raw_s();
  if (layers_.take_comment(text, line, raw_s)) begin_layer(line, raw_s);
  if (!text.starts_with(';')) return;
  timing_.take_comment(text);
  if (line.number == 1 && text.starts_with("; MD5:")) {
    trace_.notes.push_back(
        "line 1 states an MD5 sum of the job, which an edit makes wrong");
  }
  read_comment(metadata_, text.substr(1), line.number);
}

void JobReader::begin_layer(const LineView& line, double raw_s) {
  if (layers_.take_restarted()) {
    for (auto& [tool, curve] : curves_) curve.forget_layers();
  }
  if (layers_.current() == 0) {
    for (auto& [tool, curve] : curves_) start_mm_[tool] = curve.unscaled_peak_mm();
  }
  for (auto& [tool, curve] : curves_) curve.begin_layer(raw_s, place(line));
}

/// Whether the E words rise, as absolute ones do, or not.
inline void JobReader::weigh_e_word(const Move& move) {
  ++e_moves_;
  if (modal_.relative_e()) ++relative_e_moves_;
  if (!modal_.e_rules_agree()) evidence_.rules_disagreed = true;
  if (move.moves_xy && move.e_word > 0) {
    ++evidence_.e_moves;
    if (move.e_word <= last_e_word_) ++evidence_.falling;
  }
  last_e_word_ = move.e_word;
}

inline void JobReader::take_extrusion(const Move& move, const LineView& line,
                                      double from_s) {
  weigh_e_word(move);
  const bool prints = move.filament > 0 && move.moves_xy;
  if (prints && layers_.take_extrusion(modal_.z_mm(), line, from_s)) {
    begin_layer(line, from_s);
  }
  curve_->take(move.filament, move.unscaled, from_s, timing_.raw_s(), place(line));
  if (!prints || layers_.none_yet()) return;
  printed_->all_mm += move.filament;
  if ((layers_.feature() & (kSupport | kTower)) != 0) {
    printed_->support_mm += move.filament;
  }
}

void JobReader::take_move(const Command& c, const LineView& line) {
  const double from_s = timing_.raw_s();
  const Move move = modal_.move(c);
  timing_.take_move(move);
  evidence_.letters |= c.numbers();
  if (move.moves_xy) ++xy_moves_;
  if (move.has_e) {
    take_extrusion(move, line, from_s);
  } else if (c.mentions('E')) {
    ++computed_words_;
  }
  if (c.has('Z') && !c.comment.empty() &&
      layers_.take_marked_move(c, line, timing_.raw_s())) {
    begin_layer(line, timing_.raw_s());
  }
}

void JobReader::take_named(const LineView& line) {
  layers_.take_command(command_);
  timing_.take_named(command_);
  if (command_.name == "ACTIVATE_EXTRUDER") {
    const int before = modal_.tool();
    if (const auto tool = extruder_number(command_.text)) modal_.select_tool(*tool);
    change_tool(before, line);
  }
  // Names of macros tell firmwares apart.
  Fact& fact = metadata_.facts["command"];
  const std::string name(command_.name.substr(0, 40));
  if (fact.value.size() > kLongestNameList ||
      fact.value.find(name) != fact.value.npos) {
    return;
  }
  if (fact.where.empty()) fact.where = "the job's own commands";
  fact.value += (fact.value.empty() ? "" : " ") + name;
}

/// After a command that may have chosen another tool. The first tool of a job is loaded
/// by its start G-code, whose own purge is counted as it stands.
void JobReader::change_tool(int from, const LineView& line) {
  const bool changed = modal_.tool() != from;
  const bool extruded = e_moves_ > 0;
  if (changed) select_curve();
  if (!changed || !extruded) return;
  ++loads_[modal_.tool()];
  const double purge = options_->purge_mm;
  const double now_s = timing_.raw_s();
  if (purge > 0) curve_->take(purge, purge, now_s, now_s, place(line));
}

void JobReader::take_heat(const LineView& line) {
  const Command& c = command_;
  const bool by_tool_setting = c.is('G', 10);
  const char word = c.has('S') || by_tool_setting ? 'S' : c.has('R') ? 'R' : 'P';
  if (!c.has(word) || trace_.heats.size() >= kMostHeats) return;
  if (by_tool_setting && !c.has('P')) return;
  HeatMark heat;
  heat.line = line.number;
  heat.insert_offset = line.next;
  heat.insert_line = line.number + 1;
  heat.tool = c.integer(by_tool_setting ? 'P' : 'T').value_or(modal_.tool());
  heat.target_c = c.value(word);
  heat.waits = c.is('M', 109);
  if (line.ended) trace_.heats.push_back(heat);
}

void JobReader::take_command(const LineView& line) {
  const Command& c = command_;
  if (c.letter == 'N' && c.number >= 0 &&
      (c.mentions('G') || c.mentions('M') || c.mentions('T'))) {
    return fail(std::string(":").append(std::to_string(line.number)),
                "the job's lines are numbered, and a line put in would break the count",
                "use a job as the slicer writes it to a file, without N and checksums");
  }
  layers_.take_command(c);
  if (c.is('M', 208) && c.value_or('S', 0) > 0) evidence_.recover_extra = true;
  if (c.is('M', 221) && c.has('S')) evidence_.flow_by_tool_matters = true;
  if (c.is('G', 92)) {
    if (c.bare()) evidence_.bare_g92 = true;
    last_e_word_ = 0;
  }
  timing_.take_command(c);
  if (c.is('M', 600)) ++filament_changes_;
  if (c.is('M', 101)) ++spindle_extrusion_;
  if (c.is('M', 104) || c.is('M', 109) || c.is('G', 10)) take_heat(line);
  if (c.is('M', 221) && c.has('S')) ++flow_commands_;
  if (c.is('M', 200)) volume_commands_ = true;
  const int before = modal_.tool();
  modal_.apply(c);
  change_tool(before, line);
  const double extra = modal_.take_recover_extra();
  const double now_s = timing_.raw_s();
  if (extra > 0) curve_->take(extra, extra, now_s, now_s, place(line));
}

/// An extruder that is switched on and off, whose start G-code may prime by E words.
bool JobReader::is_fed_by_speed() const {
  return spindle_extrusion_ > 0 && e_moves_ < xy_moves_ / 10;
}

Error JobReader::extrudes_nothing() const {
  Error error{job_name_, "", "check that it is a job for a filament printer"};
  if (spindle_extrusion_ > 0) {
    error.what =
        "the job switches its extruder on and off (M101) and never says how much "
        "filament it takes";
    error.hint = "use a slicer setting that writes E words";
  } else if (xy_moves_ > 0) {
    error.what = "the job extrudes nothing: its moves carry no filament";
  } else {
    error.what = "the job extrudes nothing: it holds no moves";
  }
  return error;
}

void JobReader::state_length(ToolTrace& tool, const ToolCurve& curve) {
  const auto found = metadata_.tools.find(tool.tool);
  if (found == metadata_.tools.end()) return;
  const StatedTool& stated = found->second;
  tool.filament_type = stated.filament_type;
  if (stated.mass_g && *stated.mass_g > 0) tool.stated_mass_g = stated.mass_g;
  std::optional<Stated> length = stated.length_mm;
  const auto d = reading_.filament_diameter_mm.find(tool.tool);
  const double diameter = stated.diameter_mm.value_or(
      d == reading_.filament_diameter_mm.end() ? 0 : d->second);
  if (!length && stated.volume_mm3 && diameter > 0) {
    const double per_mm3 = 1 / section_mm2(diameter);
    length = Stated{stated.volume_mm3->value * per_mm3,
                    stated.volume_mm3->rounding * per_mm3};
  }
  if (!length) return;
  if (length->value == 0) {
    trace_.notes.push_back(stated.source + " says 0, which is not believed");
    return;
  }
  tool.stated_length_mm = length->value;
  Measured measured;
  const double purged = options_->purge_mm * loads_[tool.tool];
  measured.peak_mm = curve.peak_mm() - purged;
  measured.net_mm = curve.net_mm() - purged;
  measured.unscaled_peak_mm = curve.unscaled_peak_mm() - purged;
  measured.start_mm = start_mm_[tool.tool];
  measured.flow_changed = modal_.flow_changed();
  measured.relative = relative_e_moves_ * 2 > e_moves_;
  tool.stated_note = difference_note(measured, *length, metadata_.states_net);
}

ToolTrace JobReader::tool_trace(int number, ToolCurve& curve, const TimeScale& scale) {
  ToolTrace tool;
  tool.tool = number;
  tool.length_mm = curve.peak_mm();
  tool.net_mm = curve.net_mm();
  tool.loads = loads_[number];
  const Printed& printed = printed_by_tool_[number];
  if (printed.all_mm > 0) tool.support_share = printed.support_mm / printed.all_mm;
  state_length(tool, curve);
  tool.points = curve.finish();
  for (TracePoint& point : tool.points) point.time_s = scale.at(point.time_s);
  return tool;
}

void JobReader::add_tools(const TimeScale& scale) {
  for (auto& [number, curve] : curves_) {
    if (curve.peak_mm() <= 0) continue;
    trace_.tools.push_back(tool_trace(number, curve, scale));
  }
}

void JobReader::add_notes() {
  const auto note = [this](std::string text) {
    trace_.notes.push_back(std::move(text));
  };
  for (const std::string& text : metadata_.notes) note(text);
  for (const std::string& text : better_.notes) note(text);
  if (filament_changes_ > 0) {
    note("M600 changes the filament " + times(filament_changes_) +
         "; what is loaded then is not known");
  }
  if (computed_words_ > 0) {
    note("E is left to the firmware to compute " + times(computed_words_) +
         ", and was not counted there");
  }
  if (ignored_lower_case_ > 0) {
    note("commands in lower case stand " + times(ignored_lower_case_) +
         " and were passed over, as this firmware does");
  }
  if (layers_.overflowed()) note("only the first million layers were kept");
  if (timing_.raw_s() == 0)
    note("no move states a feed, so the job's time is not known");
}

void JobReader::add_explained() {
  Understood understood;
  understood.reading = better_;
  understood.limits = timing_.limits();
  understood.layer_form = layers_.form();
  understood.e_moves = e_moves_;
  understood.relative_e_moves = relative_e_moves_;
  understood.flow_commands = flow_commands_;
  understood.flow_changed = modal_.flow_changed();
  understood.volume_commands = volume_commands_;
  understood.purge_mm = options_->purge_mm;
  trace_.explained = explain(trace_, understood);
}

Result<Trace> JobReader::finish() {
  is_plain_ = false;
  splitter_.finish([this](const LineView& line) { take_line(line); });
  if (first_bytes_.size() < 4) check_kind();
  for (auto& [tool, curve] : curves_) {
    if (curve.peak_mm() > 0) evidence_.peak_mm[tool] = curve.peak_mm();
  }
  evidence_.e_mode_stated = modal_.e_mode_stated();
  evidence_.flow_by_tool_matters =
      evidence_.flow_by_tool_matters && evidence_.peak_mm.size() > 1;
  evidence_.states_times =
      options_->total_s ||
      (options_->anchored && (metadata_.total_s || timing_.states_times()));
  better_ = drydepth::better_reading(reading_, metadata_, evidence_, *options_);
  if (error_) return *error_;
  if (evidence_.peak_mm.empty() || is_fed_by_speed()) return extrudes_nothing();
  if (better_.limits.limits == reading_.limits.limits) {
    timing_.correct_source(better_.limits);
  }
  TimeFacts facts;
  facts.total_s = metadata_.total_s;
  facts.total_source = metadata_.total_source;
  facts.given_s = options_->total_s;
  facts.anchored = options_->anchored;
  const TimeScale scale = timing_.finish(std::move(facts));
  layers_.finish(splitter_.bytes(), splitter_.lines());
  add_tools(scale);
  add_notes();
  trace_.layers = std::move(layers_.layers());
  for (LayerMark& layer : trace_.layers) layer.time_s = scale.at(layer.time_s);
  trace_.duration_s = scale.duration_s();
  trace_.duration_source = scale.source;
  trace_.duration_spread = scale.spread;
  trace_.slicer = metadata_.slicer;
  trace_.firmware = better_.dialect->id;
  trace_.firmware_source = better_.dialect_source;
  if (reading_.volumetric) {
    trace_.filament_diameter_mm =
        reading_.filament_diameter_mm.count(trace_.tools.front().tool) != 0
            ? reading_.filament_diameter_mm.at(trace_.tools.front().tool)
            : kUsualDiameterMm;
  }
  trace_.e_reading = {reading_.start_mode == EMode::kRelative, reading_.volumetric,
                      reading_.filament_diameter_mm};
  trace_.bytes = splitter_.bytes();
  trace_.lines = splitter_.lines();
  trace_.header_offset = header_.offset();
  trace_.header_line = header_.line();
  trace_.user_pause = metadata_.pause;
  add_explained();
  return std::move(trace_);
}

Reading JobReader::better_reading() const {
  return same_result(reading_, better_, evidence_) ? reading_ : better_;
}

}  // namespace drydepth
