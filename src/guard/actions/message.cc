#include "guard/actions/message.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "guard/place.h"

namespace drydepth {
namespace {

// "12 min", "2h05" from an hour on; nothing under a minute.
std::string lead_time(double seconds, bool terse) {
  const long minutes = std::lround(std::floor(std::max(0.0, seconds) / 60.0));
  if (minutes == 0) return "";
  if (minutes < 60) return std::to_string(minutes) + (terse ? "min" : " min");
  const std::string rest = std::to_string(minutes % 60);
  return std::to_string(minutes / 60) + "h" + (rest.size() < 2 ? "0" : "") + rest;
}

// The wordiest text that the display holds: cut off, a number would be another one.
std::string message_text(const std::string& who, double seconds, long grams,
                         std::size_t room) {
  const auto joined = [](const std::string& a, const std::string& b) {
    return a + (a.empty() || b.empty() ? "" : " ") + b;
  };
  const auto mass = [&](const char* gap) {
    return grams > 0 ? std::to_string(grams) + gap + "g" : std::string();
  };
  const std::string wordy = joined(lead_time(seconds, false), mass(" "));
  const std::string terse = joined(lead_time(seconds, true), mass(""));
  if (wordy.empty()) return who + "wet wraps now";
  const std::array<std::string, 4> texts = {
      who + "wet wraps in " + wordy, who + "wet in " + wordy, who + "wet in " + terse,
      who + "wet in " + (grams > 0 ? mass("") : terse)};
  const auto fits = std::find_if(texts.begin(), texts.end(), [room](const auto& text) {
    return text.size() <= room;
  });
  return fits == texts.end() ? who + "wet soon" : *fits;
}

double time_left_s(const EditInput& in, const LayerMark& mark, double crossing_kg) {
  const double length_mm = crossing_kg / kg_per_mm(in);
  return place_of(in.trace, in.tool, length_mm).time_s - mark.time_s;
}

}  // namespace

std::optional<PlannedEdit> plan_message(const EditInput& in) {
  if (!in.limit.crossing_kg[0]) return std::nullopt;
  const double crossing_kg = *in.limit.crossing_kg[0];
  const LayerMark* mark =
      last_fit_layer(in.trace, line_before_crossing(in, crossing_kg));
  if (!mark) return std::nullopt;

  const double lead_kg = crossing_kg - mass_at(in, mark->insert_line);
  const long grams = std::lround(std::max(0.0, lead_kg) * 1000.0);
  const std::string who = in.many_tools ? "t" + std::to_string(in.tool.tool) + " " : "";
  if (!in.dialect.message) return std::nullopt;
  const auto room = static_cast<std::size_t>(in.dialect.message->max_length);
  const std::string text =
      message_text(who, time_left_s(in, *mark, crossing_kg), grams, room);
  const auto line = display_message(in.dialect, text);
  if (!line) return std::nullopt;
  return PlannedEdit{.edit = {.offset = mark->insert_offset,
                              .line = mark->insert_line,
                              .action = "message",
                              .lines = {*line}},
                     .text = text,
                     .reason = before_crossing_text("early", crossing_kg)};
}

}  // namespace drydepth
