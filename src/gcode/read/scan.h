#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "base/files.h"
#include "base/result.h"
#include "gcode/read/reading.h"
#include "gcode/read/trace.h"

namespace drydepth {

/// Reads a job once, in pieces of any size, under one Reading. Memory is bounded by the
/// number of layers, not by the bytes. Own blocks are skipped.
class TraceScanner {
 public:
  TraceScanner(std::string job_name, const ScanOptions& options, Reading reading);
  TraceScanner(TraceScanner&&) noexcept;
  ~TraceScanner();

  void feed(std::string_view bytes);
  /// Once, after the last piece. Error (exit 65) for binary or packed jobs, numbered
  /// lines, a changed block of our own, or a job that extrudes nothing.
  Result<Trace> finish();
  /// After finish(): the reading that the whole file calls for. Equal to the one given
  /// where nothing would change.
  Reading better_reading() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// Scans a job under the reading it calls for, in as many passes as that takes (one or
/// two; three at most). Errors as TraceScanner, and exit 66 where it cannot be read;
/// exit 64 for a dialect id that is not among the dialects.
Result<Trace> scan(const ByteSource& job, const ScanOptions& options);

}  // namespace drydepth
