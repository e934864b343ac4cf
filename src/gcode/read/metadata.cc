#include "gcode/read/metadata.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "gcode/machine/limits.h"
#include "gcode/machine/line.h"

// The forms of the slicers, observed in real jobs. Each is a prefix and what to do with
// the text behind it.

namespace drydepth {
namespace {

constexpr std::size_t kMostStatedTools = 64;
constexpr std::string_view kEnvironmentPrefix = "SLIC3R_";

// What the engine of one slicer leaves in place of numbers it was never given.
constexpr double kPlaceholder = 6666;

std::string_view trim(std::string_view text) {
  constexpr std::string_view kBlanks = " \t\r";
  const auto first = text.find_first_not_of(kBlanks);
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(kBlanks) - first + 1);
}

std::string on_line(std::string_view what, std::uint64_t line) {
  return std::string(what) + " on line " + std::to_string(line);
}

struct StatedRest {
  Stated stated;
  std::string_view rest;
};

std::optional<StatedRest> take_stated(std::string_view text) {
  text = trim(text);
  const char* const end = text.data() + text.size();
  const Decimal number = read_decimal(text.data(), end);
  if (number.end == text.data()) return std::nullopt;
  const auto length = static_cast<std::size_t>(number.end - text.data());
  const auto point = text.substr(0, length).find('.');
  const std::size_t decimals = point == text.npos ? 0 : length - point - 1;
  const double rounding = 0.5 * std::pow(10.0, -static_cast<double>(decimals));
  return StatedRest{{number.value, rounding}, trim(text.substr(length))};
}

/// Calls take(index, element) for each element of a list.
template <class Take>
void for_each_in(std::string_view list, char separator, const Take& take) {
  for (std::size_t index = 0; index < kMostStatedTools; ++index) {
    const auto at = list.find(separator);
    take(static_cast<int>(index), trim(list.substr(0, at)));
    if (at == list.npos) return;
    list.remove_prefix(at + 1);
  }
}

Stated scaled(Stated stated, double factor) {
  return {stated.value * factor, stated.rounding * factor};
}

/// A length, a volume or a mass, told apart by the unit behind the number unless given.
void take_used(Metadata& m, int tool, std::string_view text, std::string_view unit,
               const std::string& where) {
  const auto read = take_stated(text);
  if (!read) return;
  if (unit.empty()) unit = read->rest;
  StatedTool& stated = m.tools[tool];
  if (unit.starts_with("g")) {
    stated.mass_g = read->stated.value;
    return;
  }
  stated.source = where;
  if (unit.starts_with("mm3")) {
    stated.volume_mm3 = read->stated;
  } else if (unit.starts_with("mm")) {
    stated.length_mm = read->stated;
  } else if (unit.starts_with("m")) {
    stated.length_mm = scaled(read->stated, 1000);
  }
}

void take_used_list(Metadata& m, std::string_view list, std::string_view unit,
                    const std::string& where) {
  for_each_in(list, ',', [&](int tool, std::string_view element) {
    take_used(m, tool, element, unit, where);
  });
}

void take_total(Metadata& m, std::string_view text, const std::string& where,
                double seconds_per_unit = 1) {
  const auto duration = parse_duration_s(text);
  if (!duration || *duration <= 0) return;
  if (*duration == kPlaceholder && seconds_per_unit == 1) {
    m.notes.push_back(where + " says 6666, a placeholder that is not believed");
    return;
  }
  m.total_s = *duration * seconds_per_unit;
  m.total_source = where;
}

void take_material_volume(Metadata& m, int tool, std::string_view text,
                          const std::string& where) {
  const auto read = take_stated(text);
  if (read && read->stated.value == kPlaceholder) {
    m.notes.push_back(where + " says 6666, a placeholder that is not believed");
  } else {
    take_used(m, tool, text, "mm3", where);
  }
}

void take_slicer(Metadata& m, std::string_view name, std::uint64_t line) {
  if (!m.slicer.empty() || name.starts_with('[')) return;
  m.slicer = std::string(trim(name.substr(0, name.find(" on "))));
  m.facts["slicer"] = {m.slicer, on_line("the slicer's name", line)};
}

/// "<prefix><n><separator>...", as in "Material#1 Used: ...": n and the rest.
struct NumberedRest {
  int number = 0;
  std::string_view rest;
};

std::optional<NumberedRest> take_numbered(std::string_view text,
                                          std::string_view prefix) {
  if (!text.starts_with(prefix)) return std::nullopt;
  text.remove_prefix(prefix.size());
  int number = 0;
  std::size_t used = 0;
  while (used < text.size() && used < 3 && text[used] >= '0' && text[used] <= '9') {
    number = number * 10 + (text[used++] - '0');
  }
  if (used == 0) return std::nullopt;
  return NumberedRest{number, trim(text.substr(used))};
}

void take_numbered_forms(Metadata& m, std::string_view text, std::uint64_t line) {
  struct Form {
    std::string_view prefix, then, unit;
    int first;
    bool net;
  };
  static constexpr std::array<Form, 4> kForms = {{
      {"Material#", "Used:", "mm", 1, false},
      {"Ext #", "=", "mm", 1, true},
      {"Extruder ", "material used:", "mm", 1, false},
      {"EXTRUDER_TRAIN.", ".MATERIAL.VOLUME_USED:", "mm3", 0, false},
  }};
  for (const Form& form : kForms) {
    const auto found = take_numbered(text, form.prefix);
    if (!found || !found->rest.starts_with(form.then)) continue;
    const int tool = found->number - form.first;
    if (tool < 0) return;
    take_used(m, tool, found->rest.substr(form.then.size()), form.unit,
              on_line("the filament used", line));
    m.states_net = m.states_net || form.net;
  }
}

using Take = void (*)(Metadata&, std::string_view rest, std::uint64_t line);

struct Form {
  std::string_view prefix;
  Take take;
};

constexpr std::array
    kForms =
        {
            Form{"generated by ", take_slicer},
            Form{"Generated by ", take_slicer},
            Form{"Generated with ", take_slicer},
            Form{"Sliced by ", take_slicer},
            Form{"G-Code generated by ", take_slicer},
            Form{"GENERATOR.NAME:", take_slicer},
            Form{"BambuStudio ",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_slicer(m, "BambuStudio " + std::string(rest), line);
                 }},
            Form{"KISSlicer",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_slicer(m, "KISSlicer " + std::string(rest), line);
                 }},
            Form{"FLAVOR:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   const std::string where = on_line("FLAVOR", line);
                   m.facts["flavor"] = {std::string(trim(rest)), where};
                   const bool volumes = rest.find("Volumetric") != rest.npos ||
                                        rest.find("UltiGCode") != rest.npos;
                   if (volumes && !m.volumetric_e) {
                     m.volumetric_e = true;
                     m.volumetric_source = where;
                   }
                 }},
            Form{"TARGET_MACHINE.NAME:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   m.facts["printer_model"] = {std::string(trim(rest)),
                                               on_line("TARGET_MACHINE.NAME", line)};
                 }},
            Form{"TIME:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_total(m, rest, on_line("TIME", line));
                 }},
            Form{"PRINT.TIME:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_total(m, rest, on_line("PRINT.TIME", line));
                 }},
            Form{"Print Time:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_total(m, rest, on_line("Print Time", line));
                 }},
            Form{"Build Time:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_total(m, rest, on_line("Build Time", line));
                 }},
            Form{"Estimated Build Time:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   if (const auto minutes = take_stated(rest)) {
                     take_total(m, rest.substr(0, rest.find('m')),
                                on_line("Estimated Build Time", line), 60);
                   }
                 }},
            Form{"--- print time:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_total(m, rest.substr(0, rest.find("---")),
                              on_line("the print time", line));
                 }},
            Form{"model printing time:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   constexpr std::string_view kTotal = "total estimated time:";
                   const auto at = rest.find(kTotal);
                   if (at == rest.npos) return;
                   take_total(m, rest.substr(at + kTotal.size()),
                              on_line("total estimated time", line));
                 }},
            Form{"Filament used:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used_list(m, rest, "", on_line("Filament used", line));
                 }},
            Form{"--- filament used:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used(m, 0, rest, "", on_line("the filament used", line));
                 }},
            Form{"total filament length [mm] :",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used_list(m, rest, "mm",
                                  on_line("total filament length", line));
                 }},
            Form{"total filament weight [g] :",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used_list(m, rest, "g", on_line("total filament weight", line));
                 }},
            Form{"Filament weight = [",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used_list(m, rest.substr(0, rest.find(']')), "g",
                                  on_line("Filament weight", line));
                 }},
            Form{"Filament length:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used(m, 0, rest, "mm", on_line("Filament length", line));
                 }},
            Form{"Material Length:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used(m, 0, rest, "mm", on_line("Material Length", line));
                 }},
            Form{"Material Weight:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_used(m, 0, rest, "g", on_line("Material Weight", line));
                 }},
            Form{"MATERIAL:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_material_volume(m, 0, rest, on_line("MATERIAL", line));
                 }},
            Form{"MATERIAL2:",
                 [](Metadata& m, std::string_view rest, std::uint64_t line) {
                   take_material_volume(m, 1, rest, on_line("MATERIAL2", line));
                 }},
            Form{"Ext #", nullptr},
            Form{"Material#", nullptr},
            Form{"Extruder ", nullptr},
            Form{"EXTRUDER_TRAIN.", nullptr},
};

void note_fact(Facts& facts, std::string_view key, std::string_view value,
               const std::string& where) {
  if (!value.empty()) facts[std::string(key)] = {std::string(value), where};
}

/// Settings that hold a quantity of filament.
bool read_used_setting(Metadata& m, std::string_view key, std::string_view value,
                       const std::string& where) {
  struct UsedKey {
    std::string_view key, unit;
  };
  static constexpr std::array<UsedKey, 4> kKeys = {{{"filament used [mm]", "mm"},
                                                    {"filament used [g]", "g"},
                                                    {"filament used", ""},
                                                    {"filament_length_m", "m"}}};
  for (const UsedKey& used : kKeys) {
    if (key != used.key) continue;
    take_used_list(m, value, used.unit, where);
    return true;
  }
  return false;
}

}  // namespace

std::optional<double> parse_duration_s(std::string_view text) {
  double total = 0;
  bool any = false;
  text = trim(text);
  while (!text.empty()) {
    const auto read = take_stated(text);
    if (!read) return std::nullopt;
    const char unit = read->rest.empty() ? 's' : read->rest.front();
    const double factor = unit == 'd'   ? 86400
                          : unit == 'h' ? 3600
                          : unit == 'm' ? 60
                                        : 1;
    if (factor == 1 && unit != 's') return std::nullopt;
    total += read->stated.value * factor;
    any = true;
    const auto next = read->rest.find_first_of("0123456789");
    text = next == read->rest.npos ? std::string_view() : read->rest.substr(next);
  }
  return any ? std::optional(total) : std::nullopt;
}

void read_setting(Metadata& m, std::string_view key, std::string_view value,
                  const std::string& where) {
  if (key == "gcode_flavor" || key == "firmware_type" || key == "printer_model") {
    note_fact(m.facts, key, value, where);
  } else if (key == "use_relative_e_distances") {
    m.relative_e = value == "1";
  } else if (key == "use_volumetric_e") {
    m.volumetric_e = value == "1";
    m.volumetric_source = where;
  } else if (key == "filament_diameter") {
    for_each_in(value, ',', [&m](int tool, std::string_view element) {
      const auto read = take_stated(element);
      if (read && read->stated.value > 0)
        m.tools[tool].diameter_mm = read->stated.value;
    });
  } else if (key == "filament_type") {
    for_each_in(value, ';', [&m](int tool, std::string_view element) {
      m.tools[tool].filament_type = std::string(element);
    });
  } else if (key == "pause_print_gcode" || key == "machine_pause_gcode") {
    m.pause = std::string(value);
  } else if (is_limit_setting(key)) {
    note_fact(m.limits, key, value, where);
  } else if (key == "estimated printing time (normal mode)" ||
             key == "estimated printing time") {
    take_total(m, value, where);
  } else {
    read_used_setting(m, key, value, where);
  }
}

void read_comment(Metadata& m, std::string_view comment, std::uint64_t line) {
  const auto first = comment.find_first_not_of(" \t;");
  if (first == comment.npos) return;
  const std::string_view text = comment.substr(first);
  for (const Form& form : kForms) {
    if (!text.starts_with(form.prefix)) continue;
    if (form.take == nullptr) return take_numbered_forms(m, text, line);
    return form.take(m, trim(text.substr(form.prefix.size())), line);
  }
  const auto equals = text.find(" = ");
  if (equals == text.npos) return;
  const std::string_view key = trim(text.substr(0, equals));
  read_setting(m, key, trim(text.substr(equals + 3)), on_line(key, line));
}

void read_environment(Metadata& m,
                      const std::map<std::string, std::string>& environment) {
  for (const auto& [name, value] : environment) {
    if (!name.starts_with(kEnvironmentPrefix)) continue;
    std::string key = name.substr(kEnvironmentPrefix.size());
    std::transform(key.begin(), key.end(), key.begin(), [](char c) {
      return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    read_setting(m, key, trim(value), "the slicer's variable " + name);
  }
}

}  // namespace drydepth
