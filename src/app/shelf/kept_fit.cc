#include "app/shelf/kept_fit.h"

#include "app/shelf/fit_key.h"
#include "app/shelf/kept_evidence.h"
#include "base/files.h"
#include "base/json_value.h"

namespace drydepth {
namespace {

std::filesystem::path kept_path(const std::filesystem::path& record) {
  return record.parent_path() / ("." + record.stem().string() + ".fit");
}

// A member as its values in the order of kUnknowns, for the file.
Normals values_of(const Member& m) {
  Normals out{};
  for (std::size_t u = 0; u < out.size(); ++u) out[u] = m.*kUnknowns[u].value;
  return out;
}

Member member_of(const Normals& values) {
  Member out;
  for (std::size_t u = 0; u < values.size(); ++u) {
    out.*kUnknowns[u].value = values[u];
  }
  return out;
}

}  // namespace

std::optional<SpoolFit> read_kept_fit(const std::filesystem::path& record,
                                      const std::string& key,
                                      const std::vector<OuterEvidence>& found) {
  const auto text = read_whole_file(kept_path(record));
  if (!text) return std::nullopt;
  const auto parsed = parse_json(*text, "kept fit");
  if (!parsed) return std::nullopt;
  try {
    const Json& json = *parsed;
    if (json.at("key").get<std::string>() != key) return std::nullopt;
    SpoolFit fit;
    for (const Json& row : json.at("members")) {
      fit.members.push_back(member_of(row.get<Normals>()));
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

void keep_fit(const std::filesystem::path& record, const std::string& key,
              const SpoolFit& fit) {
  Json json{{"key", key}, {"members", Json::array()}, {"readings", Json::array()}};
  for (const Member& m : fit.members) json["members"].push_back(values_of(m));
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

SpoolFit fit_members(const SharedWords& words, const Spool& spool,
                     const std::string& version, Tally* tally) {
  if (words.nominal) return SpoolFit{.members = nominal_member()};
  const PosteriorOptions options{.members = words.members,
                                 .seed = words.seed,
                                 .threads = words.threads,
                                 .tally = tally};
  if (!anything_to_fit(spool.timeline)) return fit_spool(spool, options);
  const std::string key = fit_key(spool, options, version);
  if (!words.fresh) {
    if (auto kept = read_kept_fit(spool.path, key, spool.timeline.evidence))
      return *std::move(kept);
  }
  if (words.kept_only) return {};
  expect(tally, fit_steps(spool.timeline, options));
  SpoolFit fit = fit_spool(spool, options);
  keep_fit(spool.path, key, fit);
  return fit;
}

}  // namespace drydepth
