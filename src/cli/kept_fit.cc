#include "cli/kept_fit.h"

#include <array>
#include <cstring>

#include "base/files.h"
#include "base/json_text.h"
#include "cli/kept_evidence.h"

namespace drydepth {
namespace {

// FNV-1a, 64 bits: enough to tell one record's states apart; nobody attacks their own.
struct Hash {
  std::uint64_t value = 0xcbf29ce484222325ULL;

  void add(std::string_view text) {
    for (const char c : text) {
      value = (value ^ static_cast<unsigned char>(c)) * 0x100000001b3ULL;
    }
    value = (value ^ 0xffU) * 0x100000001b3ULL;
  }
  void add(double number) {
    std::array<char, sizeof number> bytes{};
    std::memcpy(bytes.data(), &number, sizeof number);
    add(std::string_view(bytes.data(), bytes.size()));
  }
};

std::string air_key(const AirSpec& air) {
  Hash hash;
  const auto add = [&](const StatedAir& a) {
    hash.add(a.temperature_k);
    hash.add(a.activity);
  };
  if (const auto* stated = std::get_if<StatedAir>(&air)) {
    add(*stated);
  } else if (const auto* heater = std::get_if<HeaterAir>(&air)) {
    hash.add(heater->temperature_k);
    if (heater->room) add(*heater->room);
    hash.add(heater->exchange_m3_s.value_or(-1));
    hash.add(heater->chamber_m3.value_or(-1));
  } else {
    hash.add(std::get<AirLog>(air).path);
  }
  return std::to_string(hash.value);
}

Instant moment(const Json& event, const char* key) {
  const auto at = parse_instant(event.value(key, ""));
  return at ? *at : Instant::max();
}

// The record as written, but for what the fit cannot know of: what was taken out, what
// happened after the last thing learned, and when that ended what was running then. The
// end of a print counts: it sets the rate.
std::string written_key(const SpoolRecord& record, const std::optional<Instant>& last) {
  auto json = parse_json(record.text, record.file);
  if (!json || !last || !json->is_object()) return record.text;
  json->erase("history");
  Json events = Json::array();
  for (Json event : (*json)["events"]) {
    const bool is_span = event.contains("from");
    if (is_span ? moment(event, "from") >= *last : moment(event, "at") > *last)
      continue;
    if (event.value("type", "") != "print" && moment(event, "to") > *last) {
      event.erase("to");
      event.erase("ended_by");
    }
    events.push_back(std::move(event));
  }
  (*json)["events"] = std::move(events);
  return json->dump();
}

std::filesystem::path kept_path(const std::filesystem::path& record) {
  return record.parent_path() / ("." + record.stem().string() + ".fit");
}

// A member as its fields in order, for the file.
std::array<double, kUnknowns> fields(const Member& m) {
  return {m.gap_factor,
          m.diffusivity,
          m.film,
          m.side,
          m.isotherm,
          m.heat_of_mixing_j_mol,
          m.opening_content,
          m.dryer_air_k,
          m.body_time,
          m.dry_mass,
          m.tare_kg,
          m.used,
          m.scale_drift_kg_day};
}

Member from_fields(const std::array<double, kUnknowns>& v) {
  return {v[0], v[1], v[2], v[3],  v[4],  v[5], v[6],
          v[7], v[8], v[9], v[10], v[11], v[12]};
}

Json percentiles_json(const Percentiles& p) { return {p.p10, p.p50, p.p90}; }

Percentiles read_percentiles(const Json& json) {
  return {json.at(0).get<double>(), json.at(1).get<double>(), json.at(2).get<double>()};
}

}  // namespace

FitKey fit_key(const Contest& contest, const PosteriorOptions& options,
               const std::string& version) {
  Hash hash;
  hash.add(version);
  const auto last = last_learned(contest.timeline);
  hash.add(written_key(contest.record, last));
  const Polymer p = to_polymer(contest.material);
  const Priors& s = contest.priors.spread;
  for (const double v : {p.density_kg_m3,
                         p.heat_capacity_j_kg_k,
                         p.isotherm_slope,
                         p.isotherm_curvature,
                         p.heat_of_mixing_j_mol,
                         p.diffusivity_ref_m2_s,
                         p.diffusivity_ref_k,
                         p.activation_j_mol,
                         p.plasticisation,
                         s.gap_factor_log,
                         s.diffusivity_log,
                         s.film_log,
                         s.side_log,
                         s.isotherm_log,
                         s.heat_of_mixing_j_mol,
                         s.opening_content,
                         s.dryer_air_k,
                         s.dry_mass,
                         s.tare_kg,
                         s.used,
                         s.scale_drift_kg_day,
                         s.body_time_log,
                         contest.priors.opening_content,
                         contest.priors.tare_kg}) {
    hash.add(v);
  }
  for (const Span& span : contest.timeline.spans) {
    // What runs on beyond what was learned last does not matter to the fit.
    if (!last || (span.respool ? span.from > *last : span.from >= *last)) break;
    hash.add(format_instant(span.from));
    hash.add(air_key(span.air));
    if (span.air_end) hash.add(air_key(AirSpec{*span.air_end}));
  }
  for (const ScaleReading& r : contest.timeline.readings)
    hash.add(format_instant(r.at));
  for (const double v : evidence_numbers(contest.timeline.evidence)) hash.add(v);
  hash.add(static_cast<double>(options.members));
  hash.add(static_cast<double>(options.seed));
  return {hash.value};
}

std::optional<SpoolFit> read_kept_fit(const std::filesystem::path& record, FitKey key,
                                      const std::vector<OuterEvidence>& found) {
  const auto text = read_whole_file(kept_path(record));
  if (!text) return std::nullopt;
  const auto parsed = parse_json(*text, "kept fit");
  if (!parsed) return std::nullopt;
  try {
    const Json& json = *parsed;
    if (json.at("key").get<std::uint64_t>() != key.hash) return std::nullopt;
    SpoolFit fit;
    for (const Json& row : json.at("members")) {
      fit.members.push_back(from_fields(row.get<std::array<double, kUnknowns>>()));
    }
    for (const Json& row : json.at("readings")) {
      ReadingFit r;
      r.reading.at = Instant(Seconds(row.at("at_s").get<long long>()));
      r.reading.gross_kg = row.at("gross_kg").get<double>();
      r.reading.scale_sd_kg = row.at("scale_sd_kg").get<double>();
      r.reading.hot = row.at("hot").get<bool>();
      r.sd_kg = reading_sd_kg(r.reading);
      r.foreseen_kg = read_percentiles(row.at("foreseen_kg"));
      r.off = row.at("off").get<double>();
      fit.readings.push_back(r);
    }
    fit.evidence = read_evidence_fits(json.at("evidence"), found);
    fit.effective_draws = json.at("effective_draws").get<double>();
    fit.misfit = json.at("misfit").get<double>();
    fit.mean_prior = read_percentiles(json.at("mean_prior"));
    fit.mean_posterior = read_percentiles(json.at("mean_posterior"));
    if (const double d = json.at("detectable").get<double>(); d > 0) fit.detectable = d;
    fit.suspects = json.at("suspects").get<std::vector<std::string>>();
    return fit;
  } catch (const Json::exception&) {
    return std::nullopt;  // not what we wrote: fit again
  }
}

void keep_fit(const std::filesystem::path& record, FitKey key, const SpoolFit& fit) {
  Json json{{"key", key.hash}, {"members", Json::array()}, {"readings", Json::array()}};
  for (const Member& m : fit.members) json["members"].push_back(fields(m));
  for (const ReadingFit& r : fit.readings) {
    json["readings"].push_back({{"at_s", r.reading.at.time_since_epoch().count()},
                                {"gross_kg", r.reading.gross_kg},
                                {"scale_sd_kg", r.reading.scale_sd_kg},
                                {"hot", r.reading.hot},
                                {"foreseen_kg", percentiles_json(r.foreseen_kg)},
                                {"off", r.off}});
  }
  json["evidence"] = evidence_fits_json(fit.evidence);
  json["effective_draws"] = fit.effective_draws;
  json["misfit"] = fit.misfit;
  json["mean_prior"] = percentiles_json(fit.mean_prior);
  json["mean_posterior"] = percentiles_json(fit.mean_posterior);
  json["detectable"] = fit.detectable.value_or(0.0);
  json["suspects"] = fit.suspects;
  const auto written = write_whole_file(kept_path(record), json.dump(1) + "\n");
  (void)written.has_value();
}

}  // namespace drydepth
