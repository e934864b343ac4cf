#include "sheet/words.h"

#include <cmath>

#include "base/numbers.h"

namespace drydepth {

std::string grams_text(double kg) {
  const double g = kg * 1000.0;
  return format_fixed(g, g < 20.0 ? 1 : 0) + " g";
}

std::string percent_text(double content) {
  return format_fixed(content * 100.0, 2) + " %";
}

std::string share_text(double share) { return format_fixed(share * 100.0, 0) + " %"; }

std::string metres_text(double mm) { return format_fixed(mm / 1000.0, 1) + " m"; }

std::string duration_text(double seconds) {
  const long minutes = std::lround(seconds / 60.0);
  if (minutes < 60) return std::to_string(minutes) + " min";
  const long rest = minutes % 60;
  return std::to_string(minutes / 60) + " h " + (rest < 10 ? "0" : "") +
         std::to_string(rest) + " min";
}

std::string percent_range_text(const Report& report, const Percentiles& content) {
  if (report.nominal) return percent_text(content.p50);
  return percent_text(content.p50) +
         " (10-90 %: " + format_fixed(content.p10 * 100.0, 2) + "-" +
         percent_text(content.p90) + ")";
}

std::string crossing_text(const Report& report, const std::optional<CrossingPlace>& at,
                          const LocalZone& zone) {
  if (!at) return "never";
  const Instant when = report.at + Seconds(std::llround(at->place.time_s));
  const CivilTime start = to_local(report.at, zone), local = to_local(when, zone);
  const auto days = [](const CivilTime& t) {
    return std::chrono::sys_days(std::chrono::year(t.year) / t.month / t.day);
  };
  std::string out = format_fixed(at->mass_kg * 1000.0, 0) + " g L" +
                    std::to_string(at->place.layer) + " ";
  const auto later = (days(local) - days(start)).count();
  if (later > 0) out += "+" + std::to_string(later) + "d ";
  return out + format_local(when, zone).substr(11);
}

std::vector<std::string> wrap_text(std::string_view sentence, std::size_t columns) {
  std::vector<std::string> lines;
  std::string line;
  while (!sentence.empty()) {
    const std::size_t blank = sentence.find(' ');
    const std::string_view word = sentence.substr(0, blank);
    if (!line.empty() && line.size() + 1 + word.size() > columns) {
      lines.push_back(line);
      line.clear();
    }
    if (!line.empty()) line += ' ';
    line += word;
    sentence = blank == std::string_view::npos ? "" : sentence.substr(blank + 1);
  }
  if (!line.empty()) lines.push_back(line);
  return lines;
}

}  // namespace drydepth
