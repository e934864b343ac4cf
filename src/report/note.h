#pragma once

#include <string>
#include <vector>

#include "report/report.h"

namespace drydepth {

/// The lines of the comment block that goes below a job's header: what was assumed and
/// found, and the stamp where the report has one. ASCII, each shorter than 80 bytes,
/// none of the form "; key = value" that a slicer would take for a setting. Times in
/// UTC: the file travels.
std::vector<std::string> note_lines(const Report& report);

/// The planned edits in job order, with the note where it belongs.
std::vector<Edit> edits_with_note(const Report& report);

}  // namespace drydepth
