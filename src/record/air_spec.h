#pragma once

#include <optional>
#include <string>
#include <variant>

namespace drydepth {

/// Air whose temperature and humidity are stated.
struct StatedAir {
  double temperature_k = 296.15;
  double activity = 0.5;  ///< relative humidity, 0..1
  bool operator==(const StatedAir&) const = default;
};

/// A heater that warms the air of a room.
struct HeaterAir {
  double temperature_k = 296.15;
  std::optional<StatedAir> room{};  ///< absent: the room in general
  std::optional<double>
      exchange_m3_s{};  ///< at the heater's temperature; absent: vented
  std::optional<double> chamber_m3{};
  /// What the dial said, where the temperature above was corrected; changes nothing.
  std::optional<double> set_k{};
  bool operator==(const HeaterAir&) const = default;
};

/// A logged series in a file of its own; the path as written in the record, read from
/// the record's folder.
struct AirLog {
  std::string path{};
  std::optional<StatedAir>
      room{};                     ///< whose air was heated, where no humidity is known
  std::optional<double> floor{};  ///< activity under which the sensor knows nothing
  bool operator==(const AirLog&) const = default;
};

/// The air around a spool as a record states it.
using AirSpec = std::variant<StatedAir, HeaterAir, AirLog>;

}  // namespace drydepth
