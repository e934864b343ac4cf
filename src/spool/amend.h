#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "rules/bodies.h"
#include "rules/materials.h"
#include "spool/record.h"

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

/// The record with one more event, in its place by time. An interval ends the one that
/// is still running (which says so: "ended_by"). Error when it overlaps another or
/// cannot be.
Result<SpoolRecord> append_event(const SpoolRecord& record, const Event& event);

/// The record with its last interval ended, be it open or planned to run longer; an end
/// that was planned goes to the record's history with the moment of the change. Grams
/// of a print stay as logged. Error when nothing runs then.
Result<SpoolRecord> stop(const SpoolRecord& record, Instant at, Instant now);

/// The record without an event (as counted in its "events", from 0; nothing: the last
/// one), which goes to the record's history with the moment of the change. What the
/// event had ended runs on. Each entry of the history has "at", "did" (removed, end
/// moved) and the event as it was. Error when there is no such event.
Result<SpoolRecord> remove_event(const SpoolRecord& record,
                                 std::optional<std::size_t> index, Instant now);

}  // namespace drydepth
