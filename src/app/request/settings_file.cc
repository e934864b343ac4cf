#include "app/request/settings_file.h"

#include <algorithm>
#include <array>
#include <filesystem>

#include "app/request/folders.h"
#include "base/exit_code.h"
#include "base/files.h"
#include "base/json_reader.h"
#include "base/json_value.h"
#include "base/nearest.h"
#include "record/typed/attended.h"

namespace drydepth {
namespace {

constexpr NumberRule kDryerC{
    .unit = "degrees Celsius", .min = 0, .max = 200, .example = "75"};

constexpr NumberRule kPurgeMm{
    .unit = "millimetres of filament", .min = 0, .max = 5000, .example = "120"};

struct BuiltIn {
  const char* name;
  const char* value;
  const char* expected;
  const char* example;
};
constexpr std::array<BuiltIn, 5> kBuiltIns = {
    {{"room", "23C/45%", "the air of the room", "23C/45%"},
     {"box", "25C/15%", "the air of the dry box", "25C/15%"},
     {"dryer", "", "the temperature of the live dryer", "70C"},
     {"feed", "open", "how the spool stands while printing", "dry-box"},
     {"limit", "cosmetic", "the limit that decides", "strength"}}};

std::vector<DryerPoint> read_dryer(JsonReader in) {
  in.only_keys({"measured"});
  std::vector<DryerPoint> out;
  for (JsonReader& entry : in.objects("measured")) {
    entry.only_keys({"set_c", "measured_c", "position"});
    const DryerPoint point{
        entry.number("set_c", kDryerC), entry.number("measured_c", kDryerC),
        entry.optional_text("position", "where in the chamber", "rear").value_or("")};
    const auto before =
        std::find_if(out.rbegin(), out.rend(),
                     [&](const DryerPoint& p) { return p.position == point.position; });
    if (before != out.rend() && point.set_c <= before->set_c) {
      entry.fail("set_c", "the points do not rise", "put them in order of set_c");
    }
    out.push_back(point);
  }
  if (out.empty()) in.fail("measured", "there is no point", "give at least one");
  return out;
}

PrinterConfig read_printer(JsonReader in) {
  in.only_keys({"firmware", "purge", "purge_mm", "attended"});
  PrinterConfig out;
  out.firmware =
      in.optional_text("firmware", "the id of a firmware", "marlin").value_or("");
  out.purge = in.optional_text("purge", "a line of G-code", "M300").value_or("");
  out.purge_mm = in.optional_number("purge_mm", kPurgeMm).value_or(0);
  out.attended =
      in.optional_text("attended", "hours of the day", "08:00-18:00").value_or("");
  if (!out.attended.empty()) {
    const auto hours = parse_attended(out.attended);
    if (!hours) in.fail("attended", hours.error().what, hours.error().hint);
  }
  return out;
}

// Positions in the order of their first points.
std::vector<std::string> positions_of(const std::vector<DryerPoint>& points) {
  std::vector<std::string> out;
  for (const DryerPoint& p : points) {
    if (std::find(out.begin(), out.end(), p.position) == out.end()) {
      out.push_back(p.position);
    }
  }
  return out;
}

double measured_at(const std::vector<DryerPoint>& all, const std::string& position,
                   double set_c) {
  std::vector<DryerPoint> points;
  for (const DryerPoint& p : all) {
    if (p.position == position) points.push_back(p);
  }
  const auto offset = [](const DryerPoint& p) { return p.measured_c - p.set_c; };
  if (set_c <= points.front().set_c) return set_c + offset(points.front());
  if (set_c >= points.back().set_c) return set_c + offset(points.back());
  const auto above =
      std::find_if(points.begin(), points.end(),
                   [set_c](const DryerPoint& p) { return p.set_c >= set_c; });
  const DryerPoint a = *(above - 1), b = *above;
  const double share = (set_c - a.set_c) / (b.set_c - a.set_c);
  return set_c + offset(a) + share * (offset(b) - offset(a));
}

}  // namespace

Result<Config> parse_config(std::string_view text, std::string_view file) {
  const auto json = parse_json(text, file);
  if (!json) return json.error();
  JsonErrors errors{std::string(file), {}};
  JsonReader in(*json, errors);
  in.choice("format", {"drydepth-config/1"});
  in.only_keys(
      {"format", "room", "box", "dryer", "feed", "limit", "printers", "dryers"});
  Config out{.file = std::string(file), .exists = true};
  for (const BuiltIn& b : kBuiltIns) {
    const auto word = in.optional_text(b.name, b.expected, b.example);
    if (word) out.words[b.name] = *word;
  }
  if (auto printers = in.optional_object("printers")) {
    for (const auto& [name, ignored] : printers->json().items()) {
      out.printers[name] = read_printer(printers->object(name));
    }
  }
  if (auto dryers = in.optional_object("dryers")) {
    for (const auto& [name, ignored] : dryers->json().items()) {
      out.dryers[name] = read_dryer(dryers->object(name));
    }
  }
  if (errors.first) return *errors.first;
  return out;
}

Result<Config> load_config(const Caller& caller) {
  const std::filesystem::path file = config_file(caller);
  std::error_code ignored;
  if (!std::filesystem::exists(file, ignored)) return Config{.file = file.string()};
  const auto text = read_whole_file(file);
  if (!text) return text.error();
  return parse_config(*text, file.string());
}

Result<DryerAir> dryer_air(const Config& config, std::string_view dryer, double set_c) {
  const std::string name(dryer.substr(0, dryer.find('/')));
  const auto found = config.dryers.find(name);
  if (found == config.dryers.end()) {
    std::vector<std::string> known;
    for (const auto& [other, points] : config.dryers) known.push_back(other);
    return Error{config.file, "unknown dryer \"" + name + "\"",
                 did_you_mean(name, known), kExitUsage};
  }
  std::vector<std::string> wanted = positions_of(found->second);
  const std::size_t count = wanted.size();
  if (name.size() < dryer.size()) {
    const std::string position(dryer.substr(name.size() + 1));
    if (std::find(wanted.begin(), wanted.end(), position) == wanted.end()) {
      return Error{config.file,
                   "dryer \"" + name + "\" has no position \"" + position + "\"",
                   did_you_mean(position, wanted), kExitUsage};
    }
    wanted = {position};
  }
  DryerAir out{measured_at(found->second, wanted.front(), set_c), wanted.front(),
               count};
  for (const std::string& position : wanted) {
    const double c = measured_at(found->second, position, set_c);
    if (c < out.measured_c) out = {c, position, count};
  }
  return out;
}

Origin settle(std::string_view name, const std::string& typed, const Config& config) {
  if (!typed.empty()) return {typed, "--" + std::string(name)};
  const auto word = config.words.find(std::string(name));
  if (word != config.words.end()) {
    return {word->second, config.file + " /" + std::string(name)};
  }
  for (const BuiltIn& b : kBuiltIns) {
    if (name == b.name) return {b.value, "built-in"};
  }
  return {};
}

std::vector<std::string> setting_names() {
  std::vector<std::string> out;
  for (const BuiltIn& b : kBuiltIns) out.emplace_back(b.name);
  return out;
}

}  // namespace drydepth
