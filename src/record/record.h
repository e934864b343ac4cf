#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "record/air_log.h"
#include "record/air_spec.h"
#include "record/findings.h"
#include "rules/limit.h"

namespace drydepth {

/// The winding as sold: width and at least two of the other three.
struct WindingRecord {
  double width_m = 0;
  std::optional<double> hub_diameter_m{};
  std::optional<double> outer_diameter_m{};
  std::optional<double> full_net_kg{};
  double full_net_sd_kg = 0;  ///< 1.5 % where the record does not say
};

struct BodyRecord {
  std::string kind{};
  std::optional<double> tare_kg{};
  double tare_sd_kg = 0;  ///< 5 g where the record does not say
  bool hub_open = false;
};

/// What the maker's data sheet says of this lot; stronger than the material's rules.
struct LimitsRecord {
  ByLimit<std::optional<double>> percent{};
  std::optional<double> drying_max_c{};
};

/// Properties of the pack that somebody knows; where absent, priors stand.
struct PackRecord {
  std::optional<double> gap_factor{};
  std::optional<double> film_w_m2k{};
  std::optional<double> conductivity_w_mk{};
  std::optional<double> side_w_m2k{};
};

/// The state the record starts from.
struct OpenedRecord {
  std::optional<Instant> at{};
  std::optional<double> temperature_k{};
  std::optional<double> moisture{};     ///< kg/kg dry
  std::optional<double> moisture_sd{};  ///< kg/kg dry; of layers: of all as one
  /// By wound layer, outermost first, kg/kg dry; empty: the same everywhere.
  std::vector<double> layers{};
  bool history_unknown = false;    ///< nobody knows where it has been since
  std::optional<double> net_kg{};  ///< left on a spool begun elsewhere
  std::optional<double> outer_diameter_m{};
};

struct Weighing {
  Instant at{};
  double gross_kg = 0;
  double scale_sd_kg = 0;  ///< 1 g where the record does not say
};

enum class SpanKind { kStorage, kDrying, kPrint };

/// How the spool stands while printing.
enum class Feed { kOpen, kDryBox, kLiveDryer };

/// Of what was used, where a record does not say: the diameter's tolerance of 0.02 mm
/// in 1.75 mm is 2.3 % of the section; half of that as one standard deviation
/// (derived).
constexpr double kUsedRelativeSd = 0.012;

/// A stretch of the spool's life in one kind of air.
struct Interval {
  SpanKind kind = SpanKind::kStorage;
  Instant from{};
  std::optional<Instant> to{};   ///< absent: until the next one or the question
  std::optional<AirSpec> air{};  ///< absent: room air
  double used_kg = 0;            ///< dry filament printed from `from` to `to`
  double used_sd_kg = 0;         ///< 1.2 % where the record does not say
  Feed feed = Feed::kOpen;       ///< of a print
  std::string job{};             ///< of a print, may be empty
  std::string stamp{};           ///< of a print logged from a guarded job, its name
};

/// The filament wound over to another body, all of it, so that what was inside is
/// outside. What is absent of the winding stays as it was.
struct Respool {
  Instant at{};
  BodyRecord body{};
  std::optional<double> hub_diameter_m{};
  std::optional<double> width_m{};
  std::optional<double> outer_diameter_m{};  ///< absent: filled as before
  std::optional<StatedAir> air{};            ///< around it then; absent: room air
};

using Event = std::variant<Weighing, Interval, Piece, Coupon, Purge, Respool>;

/// A spool record, version 1, in SI. It is read from its text and never written back
/// field by field: a change is made in the text and read again, so that what we do not
/// know of is never lost and every change meets the same checks.
struct SpoolRecord {
  std::string file{};  ///< the name errors call it by
  std::string text{};  ///< the JSON everything below was read from
  std::string id{};
  std::string material{};
  double filament_diameter_m = 0;
  WindingRecord winding;
  BodyRecord body;
  LimitsRecord limits;
  PackRecord pack;
  OpenedRecord opened;
  std::vector<Event> events;  ///< by start; intervals do not overlap
  /// The logged air of events, by index; filled by read_air_logs, not by read_record.
  std::map<std::size_t, AirSeries> air_logs{};
};

/// Reads and checks a record by itself. Error for the first thing that is missing, out
/// of range, out of order or impossible.
Result<SpoolRecord> read_record(std::string_view text, std::string_view file);

/// When an event starts, or is.
Instant start_of(const Event& event);

/// The body that the filament is on at an event (by its index: a respool's is the one
/// before; their number: the last one), or at a moment (a respool's then is the new
/// one).
const BodyRecord& body_at(const SpoolRecord& record, std::size_t event);
const BodyRecord& body_at(const SpoolRecord& record, Instant at);

/// "storage", "drying", "print".
std::string_view kind_name(SpanKind kind);
/// "open", "dry-box", "live-dryer".
std::string_view feed_name(Feed feed);
/// The feed of that name. Error (without a place) naming the nearest.
Result<Feed> parse_feed(std::string_view name);

}  // namespace drydepth
