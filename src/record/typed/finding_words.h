#pragma once

#include "record/findings.h"
#include "record/typed/word_reader.h"

namespace drydepth {

/// The words behind "log SPOOL" of what was found on the outer wraps:
///   piece BEFORE AFTER [scale MASS] [dried TEMPERATURE] [at TIME]
///   coupon DRAWN=MEASURED DRAWN=MEASURED ... [sd LENGTH] [at TIME]
///   purge [Npops | pops | no pops] [strings | no strings] [of LENGTH] [at TIME]
/// Masses with their unit, lengths in mm; the time is now where none is given. What is
/// wrong sticks in the reader.
Piece parse_piece(WordReader& in);
Coupon parse_coupon(WordReader& in);
Purge parse_purge(WordReader& in);

}  // namespace drydepth
