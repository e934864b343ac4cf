#include "sheet/sensitivity.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "base/numbers.h"
#include "sheet/layout.h"
#include "sheet/words.h"

namespace drydepth {
namespace {

// How one unknown is shown: a value is (member's field, times the record's own where
// there is one) times `unit`, or a factor where `own` is nothing and it is one.
struct InputWords {
  const char*
      key;  // in JSON, with its unit; those of "parameters" where they are there
  const char* name;
  double Member::*field;
  const char* unit;  // behind the number; "x" stands before it
  double scale;
  int decimals;
};

// In the order of a member's fields.
constexpr InputWords kInputs[] = {
    {"gap_factor", "gap factor", &Member::gap_factor, "", 1, 3},
    {"diffusivity_m2_s", "strand diffusivity", &Member::diffusivity, "x", 1, 2},
    {"film_factor", "film to the air", &Member::film, "x", 1, 2},
    {"side_w_m2k", "flanges' heat", &Member::side, "x", 1, 2},
    {"isotherm_slope", "isotherm", &Member::isotherm, "x", 1, 2},
    {"heat_of_mixing_j_mol", "heat of mixing", &Member::heat_of_mixing_j_mol, "kJ/mol",
     1e-3, 1},
    {"opening_percent", "moisture at opening", &Member::opening_content, "%", 100, 2},
    {"dryer_air_offset_k", "dryer's air", &Member::dryer_air_k, "K", 1, 1},
    {"body_time_factor", "body's water", &Member::body_time, "x", 1, 2},
    {"dry_mass_factor", "mass of filament", &Member::dry_mass, "x", 1, 3},
    {"tare_g", "tare", &Member::tare_kg, "g", 1000, 1},
    {"used_sd", "grams printed", &Member::used, "sd", 1, 1},
    {"scale_drift_g_day", "scale's drift", &Member::scale_drift_kg_day, "g/day", 1000,
     2},
};
static_assert(std::size(kInputs) == kUnknowns);

// What the model runs with, from a member's factor or offset.
double value_of(const InputWords& words, const Report& report, const Member& m) {
  const double v = m.*words.field;
  const SpoolReport& spool = report.spools.front();
  if (words.field == &Member::gap_factor) {
    return std::min(
        1.0, v * spool.record.pack.gap_factor.value_or(PackProperties{}.gap_factor));
  }
  if (words.field == &Member::heat_of_mixing_j_mol) {
    return v + spool.material.isotherm.heat_of_mixing_j_mol.value;
  }
  if (words.field == &Member::opening_content) {
    return std::max(0.0, v + report.sensitivity->opening_content);
  }
  if (words.field == &Member::tare_kg) return v + report.sensitivity->tare_kg;
  return v;
}

// The same in the unit of its key: factors of the rules' numbers become those.
double json_value(const InputWords& words, const Report& report, const Member& m) {
  const double v = value_of(words, report, m);
  const SpoolReport& spool = report.spools.front();
  if (words.field == &Member::diffusivity) {
    return v * spool.material.diffusivity.reference_m2_s.value;
  }
  if (words.field == &Member::isotherm) {
    return v * spool.material.isotherm.slope.value;
  }
  if (words.field == &Member::side) {
    return v * spool.record.pack.side_w_m2k.value_or(PackProperties{}.side_w_m2k);
  }
  if (words.field == &Member::heat_of_mixing_j_mol) return v;
  return v * words.scale;
}

std::string moved_text(const InputWords& words, const Report& report,
                       const InputEffect& input) {
  const std::string unit = words.unit;
  const auto number = [&](const Member& m) {
    return (unit == "x" ? "x" : "") +
           format_fixed(value_of(words, report, m) * words.scale, words.decimals);
  };
  const std::string behind = unit.empty() || unit == "x" ? "" : " " + unit;
  return number(input.moved[0]) + " to " + number(input.moved[1]) + behind;
}

std::string pair_text(double low, double high, double scale, int decimals) {
  return format_fixed(low * scale, decimals) + " to " +
         format_fixed(high * scale, decimals);
}

std::string whole_share_text(double share) { return share_text(std::max(0.0, share)); }

bool moves_no_water(const InputEffect& input) {
  const auto& [low, high] = input.answer;
  return low.depth_kg == high.depth_kg && low.mean == high.mean;
}

void share_table(std::string& out, const Report& report, const Sensitivity& s) {
  std::vector<Row> rows{
      {"input", "-1 sd to +1 sd", "depth", "g alone", "mean", "% alone"}};
  const auto share = [](bool varies, double value) {
    return varies ? whole_share_text(value) : std::string("-");
  };
  for (const InputEffect& input : s.inputs) {
    const InputWords& words = kInputs[input.unknown];
    const auto& [low, high] = input.answer;
    const bool still = moves_no_water(input);
    rows.push_back({words.name, moved_text(words, report, input),
                    share(s.depth_varies, input.depth_share),
                    still ? "-" : pair_text(low.depth_kg, high.depth_kg, 1000, 0),
                    share(s.mean_varies, input.mean_share),
                    still ? "-" : pair_text(low.mean, high.mean, 100, 2)});
  }
  rows.push_back({"not explained", "", share(s.depth_varies, s.depth_unexplained), "",
                  share(s.mean_varies, s.mean_unexplained), ""});
  table(out, rows, 1);
}

// What a person can do about an unknown, only where it is true for this spool.
std::string remedy(const Report& report, const InputEffect& input) {
  const double Member::*field = kInputs[input.unknown].field;
  const SpoolReport& spool = report.spools.front();
  if (field == &Member::tare_kg) {
    return "weigh an empty spool of this kind, and write its tare_g and tare_sd_g into "
           "the record";
  }
  if (field == &Member::dryer_air_k) {
    return "log the dryer's air with a sensor in it, instead of its set temperature";
  }
  if (field == &Member::used) return "weigh the spool before and after a print";
  if (field == &Member::scale_drift_kg_day) {
    return "check the scale with the same weight before each reading";
  }
  if (field == &Member::body_time)
    return "keep the spool's body in steady air before it is weighed";
  const bool outer = field == &Member::diffusivity || field == &Member::isotherm ||
                     field == &Member::heat_of_mixing_j_mol;
  if (report.drying && outer && report.drying->next.piece_narrows >= 0.05) {
    return "a scale under the whole spool hardly sees it; a piece cut from the "
           "outermost wrap does (see Reading)";
  }
  if (report.drying && report.drying->next.weighing.narrows >= 0.05) {
    return "weighings narrow it (see Reading)";
  }
  if (field == &Member::opening_content && spool.fit.readings.empty()) {
    return "a weighing tells of it together with the tare and the mass of filament";
  }
  return "";
}

std::string largest_text(const Report& report, const Sensitivity& s) {
  const InputEffect& first = s.inputs.front();
  const bool depth = s.depth_varies;
  const double narrows = depth ? first.depth_narrows : first.mean_narrows;
  std::string out = std::string("largest: ") + kInputs[first.unknown].name +
                    "; were it alone known, the spread of the " +
                    (depth ? "depth" : "mean") + " would narrow by about " +
                    share_text(narrows);
  const std::string what = remedy(report, first);
  return what.empty() ? out : out + "; " + what;
}

std::string heading(const Report& report, const Sensitivity& s) {
  return "depth below " +
         percent_text(deciding(report.spools.front().limits, report.decides)) +
         " and mean: each input's share in their spread over " +
         std::to_string(s.members) +
         " members, in ranks, the mean over every order in which the inputs may become "
         "known, good to about " +
         format_fixed(s.share_sd * 100, 0) +
         " points; and both with that input alone moved, the others in their middle (" +
         grams_text(s.middle.depth_kg) + ", " + percent_text(s.middle.mean) + ")";
}

std::vector<std::string> remarks(const Report& report, const Sensitivity& s) {
  std::vector<std::string> out;
  if (!s.depth_varies) out.push_back("every member has the same depth");
  if (std::any_of(s.inputs.begin(), s.inputs.end(), moves_no_water)) {
    out.push_back(
        "- moves no water by itself: it counts through the weighings, which say "
        "something else of the filament with it");
  }
  if (!s.inputs.empty() && (s.depth_varies || s.mean_varies)) {
    out.push_back(largest_text(report, s));
  }
  std::string exact =
      "taken as exact: sizes of the winding, times, and the air of the record";
  if (s.humidity) {
    const auto& [low, high] = *s.humidity;
    exact += "; were its humidity " + format_fixed(kHumiditySd * 100, 0) +
             " points lower or higher throughout: " +
             pair_text(low.depth_kg, high.depth_kg, 1000, 0) + " g, " +
             pair_text(low.mean, high.mean, 100, 2) + " %";
  }
  out.push_back(exact);
  return out;
}

Json answer_json(const Answer& a) {
  return {{"depth_g", std::round(a.depth_kg * 1e6) / 1e3},
          {"mean_percent", std::round(a.mean * 1e6) / 1e4}};
}

// Six significant digits: 2e-13 and 214 alike.
double shortened(double value) {
  std::array<char, 32> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), value,
                                 std::chars_format::scientific, 5);
  std::from_chars(text.data(), end.ptr, value);
  return value;
}

}  // namespace

void sensitivity_section(std::string& out, const Report& report) {
  const Sensitivity& s = *report.sensitivity;
  section(out, "Hangs on", {heading(report, s)});
  if (!s.inputs.empty()) share_table(out, report, s);
  section(out, "", remarks(report, s));
}

Json sensitivity_json(const Report& report) {
  const Sensitivity& s = *report.sensitivity;
  const auto share = [](bool varies, double v) {
    return varies ? Json(std::round(v * 1e3) / 1e3) : Json();
  };
  Json inputs = Json::array();
  for (const InputEffect& input : s.inputs) {
    const InputWords& words = kInputs[input.unknown];
    const auto side = [&](std::size_t k) {
      Json out{{"value", shortened(json_value(words, report, input.moved[k]))}};
      out.update(answer_json(input.answer[k]));
      return out;
    };
    inputs.push_back(
        {{"input", words.key},
         {"name", words.name},
         {"share_depth", share(s.depth_varies, input.depth_share)},
         {"share_mean", share(s.mean_varies, input.mean_share)},
         {"known_narrows_depth", share(s.depth_varies, input.depth_narrows)},
         {"known_narrows_mean", share(s.mean_varies, input.mean_narrows)},
         {"low", side(0)},
         {"high", side(1)}});
  }
  Json out{{"members", s.members},
           {"middle", answer_json(s.middle)},
           {"inputs", inputs},
           {"unexplained_depth", share(s.depth_varies, s.depth_unexplained)},
           {"unexplained_mean", share(s.mean_varies, s.mean_unexplained)},
           {"share_sd", std::round(s.share_sd * 1e3) / 1e3}};
  if (s.humidity) {
    out["humidity"] = {{"points", kHumiditySd * 100},
                       {"low", answer_json((*s.humidity)[0])},
                       {"high", answer_json((*s.humidity)[1])}};
  }
  return out;
}

}  // namespace drydepth
