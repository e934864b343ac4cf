#include "guard/actions/pause.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"
#include "gcode/read/features.h"

namespace drydepth {
namespace {

double layer_time_s(const Trace& trace, std::size_t k) {
  const double end =
      k + 1 < trace.layers.size() ? trace.layers[k + 1].time_s : trace.duration_s;
  return end - trace.layers[k].time_s;
}

// The best layer start up to a line, within the hours given; nothing where none is fit.
std::optional<std::size_t> best_layer(const EditInput& in, const PauseWish& wish,
                                      const std::optional<Attended>& attended,
                                      std::uint64_t last_line) {
  const std::vector<LayerMark>& layers = in.trace.layers;
  double latest_s = 0;
  for (const LayerMark& mark : layers) {
    if (mark.line <= last_line) latest_s = mark.time_s;
  }
  std::optional<std::size_t> best;
  double most = 0;
  for (auto k = static_cast<std::size_t>(wish.policy.clear_layers.value);
       k < layers.size() && layers[k].line <= last_line; ++k) {
    if (!fit_for_block(in.trace, layers[k])) continue;
    const Instant at =
        wish.start + Seconds(static_cast<Seconds::rep>(layers[k].time_s));
    if (attended && !attended_at(*attended, at, wish.zone)) continue;
    const double hours_early = (latest_s - layers[k].time_s) / kSecondsPerHour;
    const double marks = pause_marks(in.trace, k, wish.policy) -
                         hours_early * wish.policy.hour_earlier.value;
    if (best && marks < most) continue;
    best = k;
    most = marks;
  }
  return best;
}

// The command that keeps heat and place as long as the policy says.
std::string held(const EditInput& in, const PauseWish& wish) {
  return in.dialect.idle.command +
         format_fixed(wish.policy.hold_h.value * kSecondsPerHour, 0);
}

// What speaks against standing there: the part's size, and what the material does
// (common practice, no source).
std::string against(const EditInput& in, const PauseWish& wish, std::size_t k) {
  const Material& material = in.spool.material;
  const double layer_s = layer_time_s(in.trace, k);
  const bool large = layer_s > wish.policy.long_layer_s.value;
  std::vector<std::string> out;
  if (large) {
    out.push_back("a layer here takes " + format_fixed(layer_s / 60.0, 0) +
                  " min, so the part is large: standing it cools, " +
                  (material.warps ? "may warp and has" : "and has") +
                  " a weak plane at the stop; better dry for longer, or print from a "
                  "live dryer");
  } else if (material.warps) {
    out.push_back(material.name +
                  " warps or cracks where bed or chamber cool, so the door stays shut");
  }
  if (material.fibre_mass_fraction) {
    out.push_back(
        "filled with fibre it is for parts that carry load, and the layer of "
        "the stop is the weakest");
  }
  if (material.flexible) {
    out.push_back(material.name + " oozes while it stands: a string or a blob there");
  }
  std::string text;
  for (const std::string& part : out) text += (text.empty() ? "" : "; ") + part;
  return text;
}

// What the firmware does by itself, and what somebody at the printer must do.
std::string stands(const EditInput& in, const PauseWish& wish, const std::string& at) {
  const IdleRule& idle = in.dialect.idle;
  std::string out = wish.attended ? "somebody must come at " + at
                                  : "somebody must be there at " + at +
                                        " (--attended 07:00-22:00 moves it)";
  out += ", with bed and chamber kept hot and shut as far as can be; ";
  if (idle.minutes <= 0) {
    return out + "how long " + in.dialect.name +
           " keeps heat and place in a pause is not established";
  }
  out += "after " + format_fixed(idle.minutes, 0) + " min " + in.dialect.name + " " +
         idle.does + ", unless it was set otherwise";
  if (idle.loses_place) out += ", and with the motors off the place is lost";
  if (idle.command.empty()) return out;
  if (wish.policy.hold_h.value > 0) {
    return out + "; " + held(in, wish) + " is set ahead";
  }
  return out + "; " + idle.command + "SECONDS ahead of it holds longer";
}

std::string clock_of(Instant at, const LocalZone& zone) {
  return format_local(at, zone).substr(11);
}

}  // namespace

double pause_marks(const Trace& trace, std::size_t k, const PausePolicy& policy) {
  const LayerMark& layer = trace.layers[k];
  const std::uint8_t below = k > 0 ? trace.layers[k - 1].features : 0;
  const int either = layer.features | below;
  double marks = 0;
  if ((layer.first_feature & (kInfill | kTower)) != 0) marks += policy.hidden.value;
  if ((either & kTop) != 0) marks -= policy.on_skin.value;
  if ((either & kBridge) != 0) marks -= policy.on_bridge.value;
  const double shortest =
      std::min(layer_time_s(trace, k), k > 0 ? layer_time_s(trace, k - 1) : 1e9);
  if (shortest < policy.short_layer_s.value) marks -= policy.on_island.value;
  return marks;
}

PausePlan plan_pause(const EditInput& in, const PauseWish& wish) {
  PausePlan out;
  if (!in.limit.crossing_kg[0]) return out;
  const std::string command = pause_command(in.dialect, in.trace.user_pause);
  if (command.empty()) {
    out.refused = "no pause command is certain on " + in.dialect.name +
                  "; give the slicer yours as its pause G-code, or name the "
                  "firmware with --firmware";
    return out;
  }
  const double crossing_kg = *in.limit.crossing_kg[0];
  const std::uint64_t last_line = line_before_crossing(in, crossing_kg);
  const auto k = best_layer(in, wish, wish.attended, last_line);
  if (!k) {
    out.refused =
        best_layer(in, wish, std::nullopt, last_line)
            ? "no fit layer start before the crossing falls into the attended "
              "hours"
            : "no layer start before the crossing is fit to stop at";
    return out;
  }
  const LayerMark& mark = in.trace.layers[*k];
  const Instant at = wish.start + Seconds(static_cast<Seconds::rep>(mark.time_s));
  out.after_s = mark.time_s;
  out.against = against(in, wish, *k);
  out.stands = stands(in, wish, "about " + clock_of(at, wish.zone));
  const bool holds = wish.policy.hold_h.value > 0 && !in.dialect.idle.command.empty();
  std::vector<std::string> lines{command};
  if (holds) lines.insert(lines.begin(), held(in, wish));
  out.edit = PlannedEdit{.edit = {.offset = mark.insert_offset,
                                  .line = mark.insert_line,
                                  .action = "pause",
                                  .lines = std::move(lines)},
                         .text = command + " at layer " + std::to_string(*k + 1) +
                                 ", about " + clock_of(at, wish.zone),
                         .reason = "before the early crossing, at " +
                                   format_fixed(crossing_kg * 1000.0, 0) + " g"};
  return out;
}

}  // namespace drydepth
