#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "record/record.h"
#include "rules/bodies.h"
#include "rules/materials.h"

namespace drydepth {

/// What a new record starts with, in the units of the options that carry the values.
struct NewSpool {
  std::string id;
  std::string material;
  double diameter_mm = 1.75;
  std::optional<double> width_mm{};
  std::optional<double> hub_mm{};    ///< diameter
  std::optional<double> outer_mm{};  ///< diameter
  std::optional<double> net_g{};     ///< as sold
  std::optional<double> net_sd_g{};
  std::string body = "plastic";
  std::optional<double> tare_g{};
  std::optional<double> tare_sd_g{};
  bool hub_open = false;
  std::optional<Instant> opened{};
  std::optional<double> temperature_c{};     ///< at the opening
  std::optional<double> moisture_percent{};  ///< at the opening
  std::optional<double> moisture_sd_percent{};
  std::vector<double> layers_percent{};  ///< or by layer, outermost first
  bool history_unknown = false;
  std::optional<double> opened_net_g{};  ///< of a spool begun elsewhere
  std::optional<double> opened_outer_mm{};
};

/// A record without events; `file` is the name errors call it by. Error for an unknown
/// material or body and for everything read_record refuses.
Result<SpoolRecord> make_record(const NewSpool& spool, std::string_view file,
                                const std::vector<Material>& materials,
                                const std::vector<Body>& bodies);

}  // namespace drydepth
