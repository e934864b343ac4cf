#include "gcode/read/reading.h"

#include <cmath>

#include "base/numbers.h"
#include "gcode/machine/line.h"
#include "gcode/machine/modal.h"
#include "gcode/machine/splitter.h"

namespace drydepth {
namespace {

// In a job of absolute E, a word below the one before it marks a retraction or a new
// origin, on few of the moves that travel. Read so, a job of relative E falls or stands
// still on about half of them. A quarter lies well between.
constexpr std::uint64_t kFewestEMoves = 8;
constexpr double kFallingShare = 0.25;

// Stated and measured agree to 0.1 % where the unit is right; the wrong unit is off by
// the cross-section, 2.405 mm2 for 1.75 mm.
constexpr double kUnitTolerance = 1e-3;

bool looks_relative(const Evidence& e) {
  return e.e_moves >= kFewestEMoves &&
         static_cast<double>(e.falling) >
             kFallingShare * static_cast<double>(e.e_moves);
}

void decide_start_mode(Reading& reading, const Metadata& m, const Evidence& e,
                       const ScanOptions& options) {
  const auto decide = [&reading](bool relative, const char* source, bool guessed) {
    reading.start_mode = relative ? EMode::kRelative : EMode::kAbsolute;
    reading.mode_source = source;
    reading.mode_guessed = guessed;
  };
  if (options.e_mode) {
    return decide(*options.e_mode == EMode::kRelative,
                  e.e_mode_stated ? "given, until the job's own M82 or M83" : "given",
                  false);
  }
  if (e.e_mode_stated) return decide(false, "the job's M82 and M83", false);
  if (m.relative_e) return decide(*m.relative_e, "the slicer's settings", false);
  if (!looks_relative(e))
    return decide(false, "the usual mode, as E mostly rises", true);
  decide(true, "E mostly stands still or falls", true);
  reading.notes.push_back(
      "the job says neither M82 nor M83, and read as absolute its E would mostly stand "
      "still or fall: it was read as relative; give the E mode if that is wrong");
}

double diameter_of(int tool, const Metadata& m, const ScanOptions& options) {
  const auto given = options.filament_diameter_mm.find(tool);
  if (given != options.filament_diameter_mm.end()) return given->second;
  const auto stated = m.tools.find(tool);
  if (stated != m.tools.end() && stated->second.diameter_mm) {
    return *stated->second.diameter_mm;
  }
  return 0;
}

/// True when every stated length is the measured one over the filament's cross-section.
bool stated_says_volume(const Metadata& m, const Evidence& e,
                        const ScanOptions& options) {
  bool any = false;
  for (const auto& [tool, peak] : e.peak_mm) {
    const auto stated = m.tools.find(tool);
    const double d = diameter_of(tool, m, options);
    if (peak <= 0) continue;
    if (d <= 0 || stated == m.tools.end() || !stated->second.length_mm) return false;
    const double length = stated->second.length_mm->value;
    if (length <= 0) return false;
    const double ratio = peak / length / section_mm2(d);
    if (std::abs(ratio - 1) > kUnitTolerance) return false;
    any = true;
  }
  return any;
}

void decide_unit(Reading& reading, const Reading& now, const Metadata& m,
                 const Evidence& e, const ScanOptions& options) {
  if (options.e_is_volume) {
    reading.volumetric = *options.e_is_volume;
    reading.unit_source = "given";
  } else if (m.volumetric_e.has_value()) {
    reading.volumetric = *m.volumetric_e;
    reading.unit_source = m.volumetric_source;
    if (reading.volumetric) {
      reading.notes.push_back("E is a volume in mm3, as " + m.volumetric_source +
                              " says");
    }
  } else if (now.volumetric || stated_says_volume(m, e, options)) {
    reading.volumetric = true;
    reading.unit_source = "the stated length fits only so";
    reading.unit_guessed = true;
    reading.notes.push_back(
        "E was taken for a volume in mm3, since the stated length fits only so");
  } else {
    reading.unit_source = "the usual unit";
    reading.unit_guessed = true;
  }
  if (!reading.volumetric) return;
  for (const auto& [tool, peak] : e.peak_mm) {
    const double known = diameter_of(tool, m, options);
    reading.filament_diameter_mm[tool] = known > 0 ? known : kUsualDiameterMm;
    if (known > 0 || peak <= 0) continue;
    reading.diameter_guessed = true;
    reading.notes.push_back(
        "THE FILAMENT'S DIAMETER IS NOT KNOWN for tool " + std::to_string(tool) +
        ", and 1.75 mm was taken; with 2.85 mm all lengths would be " +
        format_fixed(std::pow(2.85 / 1.75, 2), 2) +
        " times shorter: give the diameter");
  }
}

void decide_dialect(Reading& reading, const Metadata& m, const ScanOptions& options) {
  const Dialect* given = options.dialect_id
                             ? find_dialect(options.dialects, *options.dialect_id)
                             : nullptr;
  if (given != nullptr) {
    reading.dialect = given;
    reading.dialect_source = "given";
    return;
  }
  const DialectChoice choice = choose_dialect(options.dialects, m.facts);
  reading.dialect = choice.dialect;
  reading.dialect_source = choice.source;
  reading.dialect_guessed = choice.guessed;
}

bool same_axes(const Dialect& a, const Dialect& b, std::uint32_t letters) {
  const auto used = [letters](const Dialect& d) {
    for (const char axis : d.e_axes) {
      if ((letters & Command::bit(axis)) != 0) return axis;
    }
    return '\0';
  };
  return used(a) == used(b);
}

}  // namespace

Reading first_reading(std::string_view head, const ScanOptions& options) {
  Metadata metadata;
  read_environment(metadata, options.environment);
  LineSplitter splitter;
  splitter.feed(head, [&metadata](const LineView& line) {
    if (line.text.starts_with(';')) {
      read_comment(metadata, line.text.substr(1), line.number);
    }
  });
  // Nothing is known of the moves yet; tool 0 is taken to extrude.
  Evidence evidence;
  evidence.peak_mm[0] = 0;
  return better_reading(Reading{}, metadata, evidence, options);
}

Reading better_reading(const Reading& now, const Metadata& metadata,
                       const Evidence& evidence, const ScanOptions& options) {
  Reading reading;
  decide_dialect(reading, metadata, options);
  decide_start_mode(reading, metadata, evidence, options);
  decide_unit(reading, now, metadata, evidence, options);
  reading.limits = limits_from_settings(reading.dialect->limits, reading.dialect->name,
                                        metadata.limits);
  return reading;
}

bool same_result(const Reading& a, const Reading& b, const Evidence& e) {
  const Dialect& x = *a.dialect;
  const Dialect& y = *b.dialect;
  const bool same_start = a.start_mode == b.start_mode || e.e_moves == 0;
  const bool same_times =
      a.limits.limits == b.limits.limits && x.limit_form == y.limit_form;
  return same_start && (same_times || e.states_times) && a.volumetric == b.volumetric &&
         (!a.volumetric || a.filament_diameter_mm == b.filament_diameter_mm) &&
         (x.e_rule == y.e_rule || !e.rules_disagreed) && same_axes(x, y, e.letters) &&
         (x.lower_case == y.lower_case || !e.lower_case) &&
         (x.bare_g92_zeroes == y.bare_g92_zeroes || !e.bare_g92) &&
         (x.g10_sets_tools == y.g10_sets_tools || !e.recover_extra) &&
         (x.flow_per_tool == y.flow_per_tool || !e.flow_by_tool_matters);
}

}  // namespace drydepth
