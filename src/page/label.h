#pragma once

// The label of a spool: what a person at the shelf wants to know of it, as of a moment,
// and a code that names the record it was made from.

#include <string>
#include <vector>

#include "base/json_text.h"
#include "report/report.h"

namespace drydepth {

struct Label {
  std::string id;
  std::vector<std::string> lines;  ///< below the id, the longest-lived first
  std::string record;              ///< the record file's SHA-256, its first 16 digits
  /// What the code says: "K-07 sha256:0123456789abcdef", id first, digest last.
  std::string payload;
};

/// The label of the report's first spool, which stands in `room` air from then on.
Label make_label(const Report& report, const AirSpec& room, const LocalZone& zone);

/// Plain lines of at most `columns` (two at least).
std::string label_text(const Label& label, std::size_t columns);

Json label_json(const Label& label);

}  // namespace drydepth
