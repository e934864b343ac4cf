#include "guard/printed.h"

#include <algorithm>
#include <cmath>

#include "base/numbers.h"

namespace drydepth {
namespace {

Error no_place(std::string_view text) {
  return Error{"", "\"" + std::string(text) + "\" is no place of a job",
               "write L31 for a layer, 62% of the job's time, or \"line 51234\""};
}

std::optional<double> whole_number(std::string_view text) {
  while (text.starts_with(' ')) text.remove_prefix(1);
  const auto number = parse_number(text);
  constexpr double kMost = 1e15;  // whole numbers are exact up to there
  if (!number || *number < 1 || *number > kMost || *number != std::floor(*number)) {
    return std::nullopt;
  }
  return number;
}

// A line of the file as the job without our own blocks counts it.
std::uint64_t without_blocks(std::uint64_t line, const std::vector<Block>& blocks) {
  std::uint64_t ours = 0;
  for (const Block& block : blocks) {
    if (block.line > line) break;
    const bool changed = block.action == kWasAction;  // its mark is no line more
    ours += std::min<std::uint64_t>(added_lines(block),
                                    line - block.line + (changed ? 0 : 1));
  }
  return line - ours;
}

// Moments of a job by line, from everything the trace knows of.
std::vector<std::pair<std::uint64_t, double>> clock_of(const Trace& trace) {
  std::vector<std::pair<std::uint64_t, double>> out{{0, 0.0}};
  for (const ToolTrace& tool : trace.tools) {
    for (const TracePoint& p : tool.points) out.emplace_back(p.line, p.time_s);
  }
  for (const LayerMark& mark : trace.layers) out.emplace_back(mark.line, mark.time_s);
  out.emplace_back(trace.lines, trace.duration_s);
  std::sort(out.begin(), out.end());
  return out;
}

double time_of_line(const Trace& trace, std::uint64_t line) {
  const auto clock = clock_of(trace);
  const auto after = std::lower_bound(
      clock.begin(), clock.end(), line,
      [](const auto& at, std::uint64_t wanted) { return at.first < wanted; });
  if (after == clock.begin()) return after->second;
  if (after == clock.end()) return clock.back().second;
  const auto before = after - 1;
  const double part = static_cast<double>(line - before->first) /
                      static_cast<double>(after->first - before->first);
  return before->second + part * (after->second - before->second);
}

}  // namespace

Result<StopPlace> parse_stop_place(std::string_view text) {
  if (text.ends_with('%')) {
    const auto percent = parse_number(text.substr(0, text.size() - 1));
    if (!percent || *percent <= 0 || *percent > 100) return no_place(text);
    return StopPlace{StopKind::kPercent, *percent};
  }
  const struct {
    std::string_view word;
    StopKind kind;
  } words[] = {
      {"layer", StopKind::kLayer}, {"line", StopKind::kLine}, {"L", StopKind::kLayer}};
  for (const auto& w : words) {
    if (!text.starts_with(w.word)) continue;
    const auto number = whole_number(text.substr(w.word.size()));
    if (!number) return no_place(text);
    return StopPlace{w.kind, *number};
  }
  return no_place(text);
}

Result<StopTime> stop_time(const Trace& trace, const StopPlace& place,
                           const std::vector<Block>& blocks) {
  const auto beyond = [](const std::string& what, std::uint64_t last) {
    return Error{"",
                 "the job has no " + what + ", its last one is " + std::to_string(last),
                 "mend the number"};
  };
  if (place.kind == StopKind::kPercent) {
    const double time_s = trace.duration_s * place.value / 100.0;
    return StopTime{time_s, time_s};
  }
  const auto number = static_cast<std::uint64_t>(place.value);
  if (place.kind == StopKind::kLine) {
    const std::uint64_t line = without_blocks(number, blocks);
    if (line > trace.lines) {
      return beyond("line " + std::to_string(number), trace.lines + (number - line));
    }
    const double time_s = time_of_line(trace, line);
    return StopTime{time_s, time_s};
  }
  if (number > trace.layers.size()) {
    return beyond("layer " + std::to_string(number), trace.layers.size());
  }
  const auto layer = static_cast<std::size_t>(number);
  return StopTime{trace.layers[layer - 1].time_s, layer < trace.layers.size()
                                                      ? trace.layers[layer].time_s
                                                      : trace.duration_s};
}

double mass_at_time(const std::vector<DrawPoint>& curve, double time_s) {
  const auto after = std::lower_bound(
      curve.begin(), curve.end(), time_s,
      [](const DrawPoint& p, double wanted) { return p.time_s < wanted; });
  if (after == curve.begin()) return after->mass_kg;
  if (after == curve.end()) return curve.back().mass_kg;
  const DrawPoint& a = *(after - 1);
  const double part = (time_s - a.time_s) / (after->time_s - a.time_s);
  return a.mass_kg + part * (after->mass_kg - a.mass_kg);
}

}  // namespace drydepth
