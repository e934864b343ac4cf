#include "cli/config.h"

#include <algorithm>
#include <array>
#include <filesystem>

#include "base/exit_code.h"
#include "base/files.h"
#include "base/json_reader.h"
#include "base/nearest.h"
#include "cli/places.h"

namespace drydepth {
namespace {

constexpr NumberRule kDryerC{
    .unit = "degrees Celsius", .min = 0, .max = 200, .example = "75"};

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
  for (JsonReader& point : in.objects("measured")) {
    point.only_keys({"set_c", "measured_c"});
    out.push_back(
        {point.number("set_c", kDryerC), point.number("measured_c", kDryerC)});
    if (out.size() > 1 && out.back().set_c <= out[out.size() - 2].set_c) {
      point.fail("set_c", "the points do not rise", "put them in order of set_c");
    }
  }
  if (out.empty()) in.fail("measured", "there is no point", "give at least one");
  return out;
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
      JsonReader printer = printers->object(name);
      printer.only_keys({"firmware", "purge"});
      out.printers[name] = {
          printer.optional_text("firmware", "the id of a firmware", "marlin")
              .value_or(""),
          printer.optional_text("purge", "a line of G-code", "M300").value_or("")};
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

Result<Config> load_config(const World& world) {
  const std::filesystem::path file = config_file(world);
  std::error_code ignored;
  if (!std::filesystem::exists(file, ignored)) return Config{.file = file.string()};
  const auto text = read_whole_file(file);
  if (!text) return text.error();
  return parse_config(*text, file.string());
}

Result<double> measured_c(const Config& config, std::string_view dryer, double set_c) {
  const auto found = config.dryers.find(std::string(dryer));
  if (found == config.dryers.end()) {
    std::vector<std::string> known;
    for (const auto& [name, points] : config.dryers) known.push_back(name);
    return Error{config.file, "unknown dryer \"" + std::string(dryer) + "\"",
                 did_you_mean(dryer, known), kExitUsage};
  }
  const std::vector<DryerPoint>& points = found->second;
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
