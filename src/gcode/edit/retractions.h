#pragma once

// Retractions made longer, in two ways.
//
// Of a slicer: a retraction and the recovery of the same length are a pair. With
// relative E both lines change. With absolute E only the retraction's target is lower:
// the recovery's target stays as it is and so travels further; a G92 E between them is
// lowered with it. Either way the sum of E behind the pair is what it was.
//
// Of a firmware: where the job states how long its G10 is, that setting is put in
// again, longer, right before a G10 that finds the filament not retracted. Elsewhere
// some firmwares forget an open retraction. A later setting of the job's own is
// followed by the next G10's in the same way. In a job of several tools it stays: some
// firmwares recover one tool by what was set for another.

#include <cstdint>
#include <vector>

#include "base/files.h"
#include "gcode/edit/edit.h"
#include "gcode/machine/dialect.h"
#include "gcode/machine/e_reading.h"

namespace drydepth {

/// Where a tool's retractions are to be longer, and by how much.
struct RetractionWish {
  int tool = 0;
  std::uint64_t from_line = 0;  ///< of the job without our own blocks
  double share = 0;             ///< of their own length
  double most_mm = 0;           ///< added at most
  double unload_mm = 0;         ///< longer ones are unloadings and left alone
  std::size_t most_pairs = 0;   ///< of all tools; beyond, nothing is changed at all
  bool several_tools = false;   ///< then the firmware's setting, one for all, stays
};

/// What became of a tool's wish.
struct RetractionsDone {
  int tool = 0;
  std::size_t longer = 0;            ///< slicer's retractions that are longer
  std::size_t left_alone = 0;        ///< those that are no plain pair
  std::size_t firmware = 0;          ///< retractions by the firmware that are longer
  std::size_t not_stated = 0;        ///< those whose length the job does not state
  std::size_t shared = 0;            ///< those of a setting that serves several tools
  double least_mm = 0, most_mm = 0;  ///< added
};

struct LongerRetractions {
  std::vector<Edit> edits;             ///< in job order
  std::vector<RetractionsDone> tools;  ///< as the wishes
  bool too_many = false;               ///< more pairs than wished for: no edits
  bool overruled = false;  ///< M209 S1: the firmware takes E moves for its own
};

/// Reads the job once; memory is bounded by RetractionWish::most_pairs. Error as
/// read_blocks.
Result<LongerRetractions> lengthen_retractions(
    const ByteSource& job, const Dialect& dialect, const EReading& reading,
    const std::vector<RetractionWish>& wishes);

}  // namespace drydepth
