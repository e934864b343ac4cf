#include "record/order.h"

#include <cmath>
#include <cstddef>
#include <optional>
#include <string>

#include "base/numbers.h"
#include "record/unit_slip.h"

namespace drydepth {
namespace {

constexpr double kSigmas = 3;

Error error_at(const SpoolRecord& record, std::size_t event, std::string_view key,
               std::string what, std::string hint) {
  return {record.file + " /events/" + std::to_string(event) + "/" + std::string(key),
          std::move(what), std::move(hint)};
}

std::string_view start_key(const Event& event) {
  return std::holds_alternative<Interval>(event) ? "from" : "at";
}

std::optional<Error> early_event(const SpoolRecord& record, std::size_t i) {
  const Event& event = record.events[i];
  const Instant start = start_of(event);
  const std::string what = "the event at " + format_instant(start);
  if (record.opened.at && start < *record.opened.at) {
    return error_at(
        record, i, start_key(event),
        what + " lies before the opening at " + format_instant(*record.opened.at),
        "mend one of the two times");
  }
  if (i > 0 && start < start_of(record.events[i - 1])) {
    return error_at(record, i, start_key(event),
                    what + " stands behind one that starts later",
                    "put events in the order of their times");
  }
  return std::nullopt;
}

std::optional<Error> overlap(const SpoolRecord& record, std::size_t i,
                             const Interval& interval, const Interval& before) {
  if (!before.to || interval.from >= *before.to) return std::nullopt;
  return error_at(record, i, "from",
                  "this " + std::string(kind_name(interval.kind)) + " starts at " +
                      format_instant(interval.from) + ", before the " +
                      std::string(kind_name(before.kind)) + " ahead of it ends at " +
                      format_instant(*before.to),
                  "a spool is in one place at a time, mend one of the two times");
}

std::optional<Error> wound_while_busy(const SpoolRecord& record, std::size_t i,
                                      const Respool& respool, const Interval& before) {
  const bool busy = before.kind != SpanKind::kStorage && respool.at > before.from &&
                    (!before.to || respool.at < *before.to);
  if (!busy) return std::nullopt;
  const std::string kind(kind_name(before.kind));
  return error_at(record, i, "at",
                  "wound over at " + format_instant(respool.at) +
                      ", in the middle of the " + kind + " that starts at " +
                      format_instant(before.from),
                  "end the " + kind + " first, or mend one of the two times");
}

std::optional<Error> below_tare(const SpoolRecord& record, std::size_t i,
                                const Weighing& weighing) {
  const BodyRecord& body = body_at(record, i);
  if (!body.tare_kg) return std::nullopt;
  const double sd = std::hypot(body.tare_sd_kg, weighing.scale_sd_kg);
  if (weighing.gross_kg >= *body.tare_kg - kSigmas * sd) return std::nullopt;
  return error_at(
      record, i, "gross_g",
      mass_text(weighing.gross_kg) + " is less than the empty spool's " +
          mass_text(*body.tare_kg),
      unit_slip(weighing.gross_kg, *body.tare_kg,
                *body.tare_kg + kOverLabel * record.winding.full_net_kg.value_or(0))
          .value_or("check the reading, its unit and the tare"));
}

}  // namespace

Result<Done> check_order(const SpoolRecord& record) {
  const Interval* before = nullptr;
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    std::optional<Error> error = early_event(record, i);
    if (const auto* weighing = std::get_if<Weighing>(&record.events[i])) {
      if (!error) error = below_tare(record, i, *weighing);
    } else if (const auto* respool = std::get_if<Respool>(&record.events[i])) {
      if (!error && before != nullptr)
        error = wound_while_busy(record, i, *respool, *before);
    } else if (const auto* interval = std::get_if<Interval>(&record.events[i])) {
      if (!error && before != nullptr) error = overlap(record, i, *interval, *before);
      before = interval;
    }
    if (error) return *error;
  }
  return Done{};
}

}  // namespace drydepth
