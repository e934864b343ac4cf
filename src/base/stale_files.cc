#include "base/stale_files.h"

#include <signal.h>

#include <cerrno>
#include <charconv>
#include <chrono>
#include <optional>
#include <string>
#include <system_error>

namespace drydepth {
namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

// The whole number that a text begins with, and takes it off the text.
std::optional<int> take_number(std::string_view& text) {
  int number = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), number);
  if (read.ec != std::errc() || number < 0) return std::nullopt;
  text.remove_prefix(static_cast<std::size_t>(read.ptr - text.data()));
  return number;
}

// The process that wrote a temporary file of ours; nothing for any other name.
std::optional<int> writer_of(std::string_view name) {
  if (!name.starts_with(kTemporaryPrefix)) return std::nullopt;
  name.remove_prefix(kTemporaryPrefix.size());
  const auto process = take_number(name);
  if (!process || *process == 0 || !name.starts_with('-')) return std::nullopt;
  name.remove_prefix(1);
  return take_number(name) && name.empty() ? process : std::nullopt;
}

bool runs(int process) { return ::kill(process, 0) == 0 || errno != ESRCH; }

}  // namespace

void remove_stale_temporaries(const fs::path& folder, fs::file_time_type now) {
  std::error_code failed;
  fs::directory_iterator it(folder, failed);
  for (const fs::directory_iterator end; !failed && it != end; it.increment(failed)) {
    const auto writer = writer_of(it->path().filename().string());
    std::error_code unknown;
    if (!writer || !it->is_regular_file(unknown)) continue;
    const auto untouched = now - it->last_write_time(unknown);
    if (unknown || untouched < (runs(*writer) ? 24h : 1min)) continue;
    fs::remove(it->path(), unknown);
  }
}

}  // namespace drydepth
