#include "gcode/machine/dialect.h"

#include <algorithm>
#include <cassert>

#include "base/trimmed.h"

namespace drydepth {
namespace {

bool is_letter(char c) { return c >= 'a' && c <= 'z'; }

bool is_displayable(char c) {
  return is_letter(c) || (c >= '0' && c <= '9') || c == ' ' || c == '.' || c == '%' ||
         c == '-';
}

/// A setting of several lines stands as one, with "\n" spelled out.
bool has_more_lines(std::string_view setting) {
  return setting.find("\\n") != setting.npos || setting.find('\n') != setting.npos;
}

}  // namespace

DialectChoice choose_dialect(const std::vector<Dialect>& dialects, const Facts& facts) {
  assert(!dialects.empty());
  DialectChoice best;
  int best_weight = 0;
  for (const Dialect& dialect : dialects) {
    for (const DialectSign& sign : dialect.signs) {
      const auto fact = facts.find(sign.key);
      if (fact == facts.end() || sign.weight <= best_weight) continue;
      if (!sign.pattern.found_in(fact->second.value)) continue;
      best = {&dialect, fact->second.where, false};
      best_weight = sign.weight;
    }
  }
  if (best.dialect != nullptr) return best;
  const Dialect* unknown = find_dialect(dialects, "unknown");
  return {unknown != nullptr ? unknown : &dialects.front(),
          "a guess, since nothing in the job names a firmware", true};
}

const Dialect* find_dialect(const std::vector<Dialect>& dialects, std::string_view id) {
  const auto at = std::find_if(dialects.begin(), dialects.end(),
                               [id](const Dialect& d) { return d.id == id; });
  return at == dialects.end() ? nullptr : &*at;
}

std::optional<std::string> display_message(const Dialect& dialect,
                                           std::string_view text) {
  if (!dialect.message) return std::nullopt;
  std::string shown;
  for (char c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    if (is_displayable(c) && (!shown.empty() || is_letter(c))) shown.push_back(c);
  }
  const auto limit = static_cast<std::size_t>(dialect.message->max_length);
  if (shown.size() > limit) shown.resize(limit);
  while (!shown.empty() && shown.back() == ' ') shown.pop_back();
  if (shown.empty()) return std::nullopt;
  return dialect.message->before + shown + dialect.message->after;
}

std::string pause_command(const Dialect& dialect, std::string_view users_own) {
  const std::string_view command =
      trimmed(users_own.substr(0, users_own.find(';')), " \t\r");
  if (command.empty()) return dialect.pause;
  // The slicer's stock value, which resumes on some firmwares and is unknown to others.
  if (command == "M601" && !dialect.obeys_m601) return dialect.pause;
  if (has_more_lines(users_own)) return {};
  return std::string(command);
}

}  // namespace drydepth
