#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <string_view>

namespace drydepth {

/// How far from either end of a job a spool's name is looked for: slicers write their
/// own text and custom start code at the top, settings at the bottom.
constexpr std::size_t kNamesAtTop = 64 * 1024;
constexpr std::size_t kNamesAtEnd = 1024 * 1024;

/// Spools that a job names, by tool; -1 for a name without a tool. In a comment:
///   ; drydepth-spool: K-07
///   ; drydepth-spool: T1=W-12
/// or the same words in a filament's notes, which slicers print as a setting:
///   ; filament_notes = "PA6, black\ndrydepth-spool: K-07";"support"
/// where the place in the list is the tool. A comment stands over notes, an earlier
/// comment over a later one.
std::map<int, std::string> named_spools(std::string_view job);

/// The same from the value of filament_notes alone.
std::map<int, std::string> spools_in_notes(std::string_view value);

}  // namespace drydepth
