#include "report/sensitivity_text.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "base/json_value.h"
#include "base/numbers.h"
#include "report/layout.h"
#include "report/unknown_words.h"
#include "report/words.h"

namespace drydepth {
namespace {

// What the model runs with: within what can be.
double value_of(std::size_t unknown, const Report& report, const Member& m) {
  const double Member::*field = kUnknowns[unknown].value;
  const double full = full_value(unknown, report.spools.front().of, m);
  if (field == &Member::gap_factor) return std::min(1.0, full);
  return field == &Member::opening_content ? std::max(0.0, full) : full;
}

// In the unit of its key, which for SI numbers of the rules is their own.
double json_value(std::size_t unknown, const Report& report, const Member& m) {
  const UnknownWords& words = kUnknownWords[unknown];
  const bool own_unit = kUnknowns[unknown].value == &Member::heat_of_mixing_j_mol;
  return value_of(unknown, report, m) * (own_unit ? 1.0 : words.scale);
}

// Factors as such: how far from its central value is what people want to know.
std::string moved_text(const Report& report, const InputEffect& input) {
  const UnknownWords& words = kUnknownWords[input.unknown];
  const std::string unit = words.unit;
  const auto number = [&](const Member& m) {
    const double value = unit == "x" ? m.*kUnknowns[input.unknown].value
                                     : value_of(input.unknown, report, m);
    return (unit == "x" ? "x" : "") + format_fixed(value * words.scale, words.decimals);
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
    const UnknownWords& words = kUnknownWords[input.unknown];
    const auto& [low, high] = input.answer;
    const bool still = moves_no_water(input);
    rows.push_back({words.name, moved_text(report, input),
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
  const double Member::*field = kUnknowns[input.unknown].value;
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
  std::string out = std::string("largest: ") + kUnknownWords[first.unknown].name +
                    "; were it alone known, the spread of the " +
                    (depth ? "depth" : "mean") + " would narrow by about " +
                    share_text(narrows);
  const std::string what = remedy(report, first);
  return what.empty() ? out : out + "; " + what;
}

std::string heading(const Report& report, const Sensitivity& s) {
  return "depth below " +
         percent_text(report.spools.front().of.limits[report.decides]) +
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
    const UnknownWords& words = kUnknownWords[input.unknown];
    const auto side = [&](std::size_t k) {
      Json out{{"value", shortened(json_value(input.unknown, report, input.moved[k]))}};
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
