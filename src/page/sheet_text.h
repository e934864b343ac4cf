#pragma once

#include <string>

#include "report/report.h"

namespace drydepth {

/// What a line of a terminal or a label printer must take at least.
constexpr std::size_t kLeastColumns = 24, kMostColumns = 200;

/// The job sheet without its figures, in plain lines of at most `columns`: verdict,
/// feeds, spools, edits, what nobody measured, cautions, room for a signature. No
/// table, so that a roll of 32 columns will do. Clock times in the given zone.
std::string sheet_text(const Report& report, const LocalZone& zone,
                       std::size_t columns);

}  // namespace drydepth
