#include "spool/new_spool.h"

#include <cmath>

#include "base/json_text.h"
#include "base/json_value.h"
#include "base/numbers.h"
#include "spool/checks.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

// Diameter over width of a winding; spools have 2 to 5 (common practice, no source).
constexpr double kFlattest = 20;

void set(Json& object, const char* key, const std::optional<double>& value) {
  if (value) object[key] = number_json(*value);
}

Json winding_json(const NewSpool& spool) {
  Json out = Json::object();
  set(out, "hub_diameter_mm", spool.hub_mm);
  set(out, "width_mm", spool.width_mm);
  set(out, "outer_diameter_mm", spool.outer_mm);
  set(out, "full_net_g", spool.net_g);
  set(out, "full_net_sd_g", spool.net_sd_g);
  return out;
}

Json body_json(const NewSpool& spool) {
  Json out;
  out["kind"] = spool.body;
  set(out, "tare_g", spool.tare_g);
  set(out, "tare_sd_g", spool.tare_sd_g);
  if (spool.hub_open) out["hub_open"] = true;
  return out;
}

Json opened_json(const NewSpool& spool) {
  Json out = Json::object();
  if (spool.opened) out["at"] = format_instant(*spool.opened);
  set(out, "temperature_c", spool.temperature_c);
  set(out, "moisture_percent", spool.moisture_percent);
  set(out, "moisture_sd_percent", spool.moisture_sd_percent);
  for (const double percent : spool.layers_percent) {
    out["layers_percent"].push_back(number_json(percent));
  }
  if (spool.history_unknown) out["history_unknown"] = true;
  set(out, "net_g", spool.opened_net_g);
  set(out, "outer_diameter_mm", spool.opened_outer_mm);
  return out;
}

}  // namespace

Result<SpoolRecord> make_record(const NewSpool& spool, std::string_view file,
                                const std::vector<Material>& materials,
                                const std::vector<Body>& bodies) {
  const Result<Material> material =
      find_material(materials, spool.material, "--material");
  if (!material) return material.error();
  const Result<Body> body = find_body(bodies, spool.body, "--body");
  if (!body) return body.error();
  Json out;
  out["format"] = "drydepth-spool/1";
  out["id"] = spool.id;
  out["material"] = spool.material;
  out["filament"]["diameter_mm"] = number_json(spool.diameter_mm);
  out["winding"] = winding_json(spool);
  out["body"] = body_json(spool);
  const Json opened = opened_json(spool);
  if (!opened.empty()) out["opened"] = opened;
  out["events"] = Json::array();
  Result<SpoolRecord> record = read_record(pretty_json(out), file);
  if (!record) return record;
  const Result<Done> layers = check_layers(*record, *material);
  if (!layers) return layers.error();
  const Winding winding = spool_winding(*record, *material);
  if (2 * winding.outer_radius_m > kFlattest * winding.width_m) {
    return Error{"--width",
                 format_shortest(std::round(1e4 * winding.width_m) / 10) +
                     " mm wide and " + format_fixed(2000 * winding.outer_radius_m, 0) +
                     " mm across is no spool",
                 "check --width, --hub and --net; centimetres are written 5.5cm"};
  }
  return record;
}

}  // namespace drydepth
