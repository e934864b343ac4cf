#pragma once

// --into: the summary of a job in a document that the shop already has.

#include <string>
#include <vector>

#include "app/outputs/overwrite.h"
#include "base/files.h"
#include "report/report.h"

namespace drydepth {

struct IntoWords {
  std::vector<std::string> files;
  std::string format, row;
};

/// Its files, with those that another option writes where that was given.
std::vector<Target> targets_of(const IntoWords& words, const std::string& option,
                               const std::string& file);

/// Documents made ready to be replaced. Until commit() all of them are as they were,
/// and what could keep one from being written is found out before.
class Into {
 public:
  /// Error for the first document that cannot be read or written, or has no place for
  /// the summary.
  static Result<Into> prepare(const IntoWords& words, const Report& report,
                              const LocalZone& zone);

  /// Replaces each that changes; a sentence on each. Error (exit 73) where one was
  /// changed by somebody else in between, (exit 74) where the disk is full.
  Result<std::string> commit();

 private:
  bool holds(const std::string& file) const;

  struct Change {
    std::string file, before;
    std::optional<AtomicFile> after;  // nothing where it stays as it is
  };
  std::vector<Change> changes_;
};

}  // namespace drydepth
