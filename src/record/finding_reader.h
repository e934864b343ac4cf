#pragma once

#include "base/json_reader.h"
#include "record/findings.h"

namespace drydepth {

/// The three events of a record that tell of the outer wraps, and back. What is out of
/// range or cannot be sticks in the reader.
Piece read_piece(JsonReader& in);
Coupon read_coupon(JsonReader& in);
Purge read_purge(JsonReader& in);

Json finding_json(const Piece& piece);
Json finding_json(const Coupon& coupon);
Json finding_json(const Purge& purge);

}  // namespace drydepth
