// What actions do to a job, seen by somebody who does not know them: the guarded job is
// read again as if its blocks were the slicer's own lines. Path, extruded length,
// layers and times must be what they were, and temperatures differ only where planned.

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "gcode/edit/rewrite.h"
#include "gcode/read/scan.h"
#include "guard/actions/adjust.h"
#include "guard/actions/message.h"
#include "guard/actions/pause.h"
#include "guard/dried_spool.h"
#include "rules/firmware.h"

using namespace drydepth;

namespace {

// Of three slicers; cubes of some grams, so the wound layers of the race are small too.
constexpr const char* kJobs[] = {
    "ps25_cube_marlin2_M73.gcode",        "ps25_cube_marlin2_relE.gcode",
    "ps25_cube_marlin_volumetricE.gcode", "ps25_cube_reprapfw_fwretract_absE.gcode",
    "cura413_cube_marlin.gcode",          "slic3r13_cube_marlin.gcode"};

std::optional<Trace> scanned(const std::string& text,
                             const std::vector<Dialect>& dialects,
                             const std::string& firmware) {
  ScanOptions options;
  options.dialects = dialects;
  options.dialect_id = firmware;
  const auto trace = scan(memory_source("job.gcode", text), options);
  return trace ? std::optional(*trace) : std::nullopt;
}

struct Planned {
  std::vector<Edit> edits;
  std::vector<double> lower_c;  // of the adjustments, in job order
};

Planned plan_all(const Trace& trace, const Dialect& dialect) {
  Spool dried = dried_spool();
  // The cubes were sliced for another polymer: what is looked at is the text.
  dried.material.nozzle_min_c.value = 180;
  const ToolTrace& tool = trace.tools.front();
  const double whole_kg =
      strand_mass_kg(tool.length_mm / 1000.0, dried.record.filament_diameter_m,
                     dried.material.density_kg_m3.value);
  FeedRace race;
  for (int k = 0; k <= 10; ++k) race.nozzle.push_back({.mass_kg = whole_kg * k / 10});
  LimitRace limit;
  limit.crossing_kg = {0.45 * whole_kg, 0.75 * whole_kg, std::nullopt};
  const EditInput in{trace, tool, dialect, dried, race, limit, false};
  Planned out;
  if (auto message = plan_message(in)) out.edits.push_back(message->edit);
  const PauseWish wish{load_policy()->pause, *parse_instant("2026-03-06T06:00:00Z"),
                       utc_zone(), std::nullopt};
  if (auto pause = plan_pause(in, wish).edit) out.edits.push_back(pause->edit);
  for (const PlannedEdit& e : plan_adjust(in, load_policy()->adjust).edits) {
    out.edits.push_back(e.edit);
    const std::string& line = e.edit.lines.back();
    out.lower_c.push_back(std::stod(line.substr(line.find('S') + 1)));
  }
  std::stable_sort(out.edits.begin(), out.edits.end(),
                   [](const Edit& a, const Edit& b) { return a.offset < b.offset; });
  return out;
}

std::string written(const std::string& text, const std::vector<Edit>& edits) {
  std::string out;
  const auto done =
      rewrite(memory_source("job.gcode", text), edits, [&](std::string_view bytes) {
        out += bytes;
        return true;
      });
  INFO((done ? "" : done.error().text()));
  REQUIRE(done);
  return out;
}

// The markers become comments that nobody knows, what is between them the job's own.
std::string as_own_lines(std::string text) {
  for (std::size_t at = 0; (at = text.find(";drydepth:", at)) != text.npos; ++at) {
    text.replace(at, 10, ";printable");
  }
  return text;
}

}  // namespace

TEST_CASE("actions leave path, filament and times alone on every firmware") {
  const auto dialects = *load_firmwares();
  std::map<std::string, int> seen;
  for (const char* name : kJobs) {
    const std::string text =
        *read_whole_file(std::string(DRYDEPTH_TEST_DATA) + "/gcode/" + name);
    for (const Dialect& dialect : dialects) {
      INFO(name << " on " << dialect.id);
      const auto read = scanned(text, dialects, dialect.id);
      if (!read) continue;  // E is not the filament's axis there
      const Trace& before = *read;
      const Planned plan = plan_all(before, dialect);
      const std::string guarded = written(text, plan.edits);
      std::string back;
      REQUIRE(restore(memory_source("job.gcode", guarded), [&](std::string_view bytes) {
        back += bytes;
        return true;
      }));
      CHECK(back == text);
      const auto read_again = scanned(as_own_lines(guarded), dialects, dialect.id);
      REQUIRE(read_again);
      const Trace& after = *read_again;
      REQUIRE(after.tools.size() == before.tools.size());
      CHECK(after.tools[0].length_mm == before.tools[0].length_mm);
      CHECK(after.tools[0].net_mm == before.tools[0].net_mm);
      // A pause lets the buffered moves come to a stop.
      CHECK(after.duration_s == Approx(before.duration_s).margin(0.5));
      REQUIRE(after.layers.size() == before.layers.size());
      for (std::size_t k = 0; k < after.layers.size(); ++k) {
        CHECK(after.layers[k].z_mm == before.layers[k].z_mm);
        CHECK(after.layers[k].time_s == Approx(before.layers[k].time_s).margin(0.5));
      }
      // The heats of before, in order, with the planned ones among them.
      std::vector<double> added;
      auto old = before.heats.begin();
      for (const HeatMark& heat : after.heats) {
        if (old != before.heats.end() && heat.target_c == old->target_c &&
            heat.waits == old->waits) {
          ++old;
        } else {
          added.push_back(heat.target_c);
          CHECK_FALSE(heat.waits);
        }
      }
      CHECK(old == before.heats.end());
      CHECK(added == plan.lower_c);
      for (const Edit& e : plan.edits) ++seen[e.action];
    }
  }
  CHECK(seen["message"] > 40);
  CHECK(seen["pause"] > 30);
  CHECK(seen["adjust"] > 60);
}
