#pragma once

namespace drydepth {

/// Exit codes of the tool; the numbers from 64 on are those of BSD's sysexits.h.
enum ExitCode : int {
  kExitDone = 0,
  kExitVerdict = 3,        ///< verdict at or beyond --fail-on; the job stays unedited
  kExitUsage = 64,         ///< wrong use of a command or option
  kExitBadData = 65,       ///< an input says something that cannot be
  kExitNoInput = 66,       ///< an input does not exist or cannot be read
  kExitSoftware = 70,      ///< our own mistake
  kExitCannotCreate = 73,  ///< an output may not be written
  kExitIo = 74             ///< writing failed (disk full)
};

}  // namespace drydepth
