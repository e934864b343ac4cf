#pragma once

// A logger's file as the air around a spool.
//
// A sensor at or under its floor says only that the air is at least that dry, and some
// loggers know no humidity at all. What stands in for the number then is worked out
// from the room whose air was heated, and said in a note. Rows come every few seconds,
// while the spool answers in hours: the series is thinned to straight pieces before
// use.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "base/time.h"
#include "record/air_spec.h"

namespace drydepth {

/// A row of the log. No activity: none was measured, or the sensor was at its floor.
struct AirReading {
  Instant at{};
  double temperature_k = 0;
  std::optional<double> activity{};
  bool at_floor = false;
};

/// A log as read, rows by time, at least one.
struct AirSeries {
  std::string file{};
  bool counted = false;  ///< times are counted from the start that was given
  std::vector<AirReading> readings{};
  std::optional<double> floor{};  ///< stated, or seen in the rows; activity
  double temperature_step_k = 0;  ///< the log's rounding, where it shows one
  double activity_step = 0;
  std::vector<std::string> notes{};  ///< rows left out, gaps, floor: a sentence each
};

/// Reads a logger's CSV file. Columns are found by name: time, datetime or timestamp
/// (ISO 8601 with a zone), or seconds, minutes or hours since `start`, or unix;
/// temperature (C, or the unit its name states); humidity in percent, or dew point.
/// Error for a file without time or temperature, for local times, and where no row can
/// be read; a bad row is left out and named in a note.
Result<AirSeries> read_air_log(std::string_view text, std::string_view file,
                               const AirLog& log, Instant start);

/// A stretch of time in which temperature and vapour concentration change evenly.
struct AirPiece {
  Instant from{};
  Instant to{};
  StatedAir begin{};
  StatedAir end{};
};

/// The series from one moment to a later one, in as few pieces as keep within 0.2 K and
/// 1 % of the vapour concentration (or the log's own rounding) of every ten-minute
/// mean: a spool follows nothing faster. Before the first row and behind the last one
/// the nearest stands. Rows without humidity take that of the room's air, heated; rows
/// at the sensor's floor too, but at most the floor.
std::vector<AirPiece> pieces(const AirSeries& series, Instant from, Instant to,
                             const StatedAir& room);

/// What is to be said of a series used over a stretch of time: its notes, gaps over 30
/// minutes, what was assumed of the humidity, and ends that it does not reach.
std::vector<std::string> air_log_notes(const AirSeries& series, Instant from,
                                       Instant to);

/// True where some row takes its humidity from the room.
bool needs_room(const AirSeries& series);

}  // namespace drydepth
