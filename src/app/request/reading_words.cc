#include "app/request/reading_words.h"

#include "base/exit_code.h"
#include "base/numbers.h"
#include "record/typed/quantity.h"

namespace drydepth {
namespace {

// Tools of which filament is taken (gcode/machine/modal.cc).
constexpr int kMostTools = 63;

Error misread(const char* option, const std::string& word, const char* what,
              const char* hint) {
  return Error{option, "\"" + word + "\" " + what, hint, kExitUsage};
}

/// "1.75mm" in mm, above 0.
std::optional<double> read_mm(std::string_view text) {
  const auto number = parse_leading_number(text);
  if (!number || number->rest != "mm" || !(number->value > 0)) return std::nullopt;
  return number->value;
}

/// The tool of "T1=...", which is cut off; nothing for a bare word.
std::optional<int> take_tool(std::string_view& word) {
  const std::size_t equals = word.find('=');
  if (!word.starts_with('T') || equals == word.npos) return std::nullopt;
  const auto number = parse_number(word.substr(1, equals - 1));
  if (!number || !(*number >= 0 && *number <= kMostTools)) return std::nullopt;
  word.remove_prefix(equals + 1);
  return static_cast<int>(*number);
}

Result<Done> take_diameter(const std::string& word, ScanOptions& options) {
  std::string_view rest = word;
  const auto tool = take_tool(rest);
  const auto mm = read_mm(rest);
  // Common practice, no source: filament is 1.75 or 2.85 mm thick.
  if (!mm || *mm < 0.5 || *mm > 5) {
    return misread("--diameter", word, "is no diameter of a filament",
                   "write 1.75mm, or T1=2.85mm for one tool");
  }
  for (int t = tool.value_or(0); t <= tool.value_or(kMostTools); ++t) {
    options.filament_diameter_mm[t] = *mm;
  }
  return Done{};
}

}  // namespace

Result<Done> understand_reading(const ReadingWords& words, ScanOptions& options) {
  if (!words.e_mode.empty()) {
    if (words.e_mode != "absolute" && words.e_mode != "relative") {
      return misread("--e-mode", words.e_mode, "is no way that E stands",
                     "write absolute or relative");
    }
    options.e_mode = words.e_mode == "relative" ? EMode::kRelative : EMode::kAbsolute;
  }
  if (!words.e_is.empty()) {
    if (words.e_is != "length" && words.e_is != "volume") {
      return misread("--e-is", words.e_is, "is nothing that E counts",
                     "write length or volume");
    }
    options.e_is_volume = words.e_is == "volume";
  }
  for (const std::string& word : words.diameters) {
    if (const auto taken = take_diameter(word, options); !taken) return taken;
  }
  if (!words.duration.empty()) {
    // Slicers write minutes as "m".
    const bool short_minutes = words.duration.ends_with('m');
    const auto duration = parse_duration(words.duration + (short_minutes ? "in" : ""));
    if (!duration) {
      return Error{"--duration", duration.error().what, duration.error().hint,
                   kExitUsage};
    }
    options.total_s = static_cast<double>(duration->count());
  }
  if (!words.purge.empty()) {
    const auto mm = read_mm(words.purge);
    if (!mm) {
      return misread("--purge", words.purge, "is no length of filament",
                     "write e.g. 120mm");
    }
    options.purge_mm = *mm;
  }
  return Done{};
}

}  // namespace drydepth
