#pragma once

#include "guard/race.h"
#include "spool/lay_out.h"

namespace drydepth {

/// A spool of our own for tests (invented): 978 g of pa6, wet, twelve hours at 82 C.
inline Spool dried_spool() {
  const char* text = R"({"format": "drydepth-spool/1", "id": "K-07", "material": "pa6",
    "filament": {"diameter_mm": 1.75},
    "winding": {"hub_diameter_mm": 80, "width_mm": 55, "outer_diameter_mm": 185,
                "full_net_g": 978},
    "body": {"kind": "pc", "tare_g": 214},
    "opened": {"at": "2026-03-05T18:00:00Z", "temperature_c": 23,
               "moisture_percent": 2.8, "moisture_sd_percent": 0.4},
    "events": [{"type": "drying", "from": "2026-03-05T18:00:00Z",
                "to": "2026-03-06T06:00:00Z",
                "air": {"temperature_c": 82,
                        "room": {"temperature_c": 23, "rh_percent": 40}}}]})";
  return *lay_out(*read_record(text, "K-07.json"), *load_rules(),
                  {.at = *parse_instant("2026-03-06T06:00:00Z"),
                   .places = {.room = StatedAir{296.15, 0.45}}});
}

inline std::vector<FeedAir> three_feeds() {
  return {{Feed::kOpen, StatedAir{296.15, 0.45}},
          {Feed::kDryBox, StatedAir{298.15, 0.15}},
          {Feed::kLiveDryer, HeaterAir{348.15, StatedAir{296.15, 0.40}, {}, {}}}};
}

/// 20 g an hour for a mass.
inline std::vector<DrawPoint> steady(double mass_kg) {
  return {{0, 0}, {mass_kg / 0.020 * 3600.0, mass_kg}};
}

/// A trace of one tool and equal layers: 100 lines and 10 m a layer, 20 g an hour or
/// so.
inline Trace plain_trace(int layers) {
  Trace out;
  ToolTrace tool;
  for (int k = 0; k < layers; ++k) {
    const auto n = static_cast<std::uint64_t>(k);
    out.layers.push_back({.line = 101 + 100 * n,
                          .insert_offset = 10'000 + 1'000 * n,
                          .insert_line = 104 + 100 * n,
                          .z_mm = 0.3 * (k + 1),
                          .time_s = 4'000.0 * k});
    tool.points.push_back(
        {4'000.0 * k, 10'000.0 * k, 104 + 100 * n, static_cast<std::uint32_t>(k)});
  }
  tool.points.push_back({4'000.0 * layers, 10'000.0 * layers,
                         104 + 100 * static_cast<std::uint64_t>(layers),
                         static_cast<std::uint32_t>(layers - 1)});
  tool.length_mm = 10'000.0 * layers;
  out.tools.push_back(tool);
  out.duration_s = 4'000.0 * layers;
  out.header_offset = 50;
  out.header_line = 2;
  return out;
}

}  // namespace drydepth
