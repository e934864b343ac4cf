#include "base/nearest.h"

#include <algorithm>
#include <vector>

namespace drydepth {
namespace {

// Lower-case letters and digits only; other bytes above ASCII stay, so that names in
// any script still differ.
std::string bare(std::string_view word) {
  std::string out;
  for (const char c : word) {
    if (c >= 'A' && c <= 'Z') {
      out += static_cast<char>(c - 'A' + 'a');
    } else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (c & 0x80) != 0) {
      out += c;
    }
  }
  return out;
}

// Insertions, deletions, replacements and swaps of neighbours (optimal string
// alignment).
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + change});
      const bool swapped =
          i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    std::swap(before, last);
    std::swap(last, row);
  }
  return last[b.size()];
}

}  // namespace

std::optional<std::string> nearest_word(std::string_view word,
                                        std::span<const std::string> known) {
  const std::string wanted =
      bare(word).substr(0, 64);  // longer is no slip of the finger
  std::optional<std::string> best;
  std::size_t best_distance = 0;
  for (const std::string& candidate : known) {
    const std::string name = bare(candidate);
    std::size_t d = distance(wanted, name);
    const std::size_t shorter = std::min(wanted.size(), name.size());
    const bool one_starts_other =
        shorter >= 3 && wanted.substr(0, shorter) == name.substr(0, shorter);
    if (one_starts_other) d = std::min<std::size_t>(d, 1);
    const std::size_t allowed = std::max<std::size_t>(1, name.size() / 3);
    const bool nothing_in_common = d >= std::max(wanted.size(), name.size());
    if (d > allowed || nothing_in_common) continue;
    if (best && d >= best_distance) continue;
    best = candidate;
    best_distance = d;
  }
  return best;
}

std::string join_words(std::span<const std::string> words) {
  std::string out;
  for (const std::string& word : words) {
    if (!out.empty()) out += ", ";
    out += word;
  }
  return out;
}

std::string did_you_mean(std::string_view word, std::span<const std::string> known) {
  if (known.empty()) return "none is known yet";
  const std::string list = "known: " + join_words(known);
  const std::optional<std::string> nearest = nearest_word(word, known);
  if (!nearest) return list;
  return "did you mean " + *nearest + "? K" + list.substr(1);
}

}  // namespace drydepth
