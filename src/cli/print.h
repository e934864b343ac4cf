#pragma once

// The one seam between the tool and the two ends that people read.

#include <string_view>
#include <utility>

#include "app/request/progress.h"
#include "base/result.h"
#include "cli/progress_line.h"
#include "cli/world.h"

namespace drydepth {

/// What of a text stands out where standard output takes bold: nothing, the headings
/// and the words of a verdict, or a table's first line.
enum class Bold { kNothing, kHeadings, kFirstLine };

/// Puts a text on standard output at once. Whatever control character it has taken from
/// a record or a file's name is spelled out: see shown_text().
void print(const World& world, std::string_view text, Bold bold = Bold::kNothing);

/// The same on standard error.
void talk(const World& world, std::string_view text);

/// Prints the error as one sentence on standard error; its exit code.
int complain(const World& world, const Error& error);

/// Runs a call of the application with its progress on a line of its own, which is gone
/// when the call is done.
template <class Call>
auto watched(const World& world, Call call) {
  ProgressLine line(world);
  return call([&line](std::string phase, std::shared_ptr<const Tally> tally) {
    line.phase(std::move(phase), std::move(tally));
  });
}

}  // namespace drydepth
