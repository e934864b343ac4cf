#include "app/shelf/survey_shelf.h"

#include <algorithm>
#include <functional>

#include "app/shelf/kept_fit.h"
#include "app/shelf/load_spool.h"
#include "base/exit_code.h"
#include "base/nearest.h"
#include "guard/start.h"
#include "record/shelf.h"

namespace drydepth {
namespace {

ShelfRow estimate_row(const SharedWords& words, const Settings& settings,
                      const Spool& spool, const std::string& version) {
  const SpoolFit fit = fit_members(words, spool, version);
  const SpoolEstimate now =
      estimate_of(start_members(spool, fit.members, words.threads));
  ShelfRow out{.id = spool.record.id,
               .material = spool.material.id,
               .mean = now.mean,
               .depth_kg = now.depth_kg[settings.decides],
               .left_kg = now.remaining_kg,
               .exposure = exposure_of(spool.timeline)};
  const auto seconds = valid_for_s(now, settings.decides, 0);
  if (seconds) {
    out.valid_until = settings.at + Seconds(static_cast<long long>(*seconds));
  }
  return out;
}

// Wet ones first, shallow ones last, in the sense of each word: what needs a look comes
// on top, but depth, where the best spool for the next job does.
using Before = std::function<bool(const ShelfRow&, const ShelfRow&)>;
std::optional<Before> order_of(const std::string& word) {
  if (word == "id") return [](const auto& a, const auto& b) { return a.id < b.id; };
  if (word == "moisture") {
    return [](const auto& a, const auto& b) { return a.mean.p50 > b.mean.p50; };
  }
  if (word == "depth") {
    return [](const auto& a, const auto& b) { return a.depth_kg.p50 > b.depth_kg.p50; };
  }
  if (word == "left") {
    return [](const auto& a, const auto& b) { return a.left_kg > b.left_kg; };
  }
  if (word == "hot") {
    return [](const auto& a, const auto& b) {
      return a.exposure.hot_s > b.exposure.hot_s;
    };
  }
  if (word == "exposure") {
    return [](const auto& a, const auto& b) {
      return a.exposure.since_drying_s.value_or(1e300) >
             b.exposure.since_drying_s.value_or(1e300);
    };
  }
  return std::nullopt;
}

}  // namespace

Result<ShelfSurvey> survey_shelf(const std::string& sort, const SharedWords& words,
                                 const Caller& caller, const Progress& progress) {
  const auto order = order_of(sort);
  if (!order) {
    const std::vector<std::string> known{"id",   "moisture", "depth",
                                         "left", "exposure", "hot"};
    return Error{"--sort", "unknown word \"" + sort + "\"", did_you_mean(sort, known),
                 kExitUsage};
  }
  const auto settings = understand(words, caller);
  if (!settings) return settings.error();
  const auto rules = load_rules(words.rules);
  if (!rules) return rules.error();
  const auto ids = list_shelf(settings->shelf);
  if (!ids) return ids.error();
  ShelfSurvey out{.settings = *settings};
  for (std::size_t k = 0; k < ids->size(); ++k) {
    const std::string& id = (*ids)[k];
    tell(progress, "estimating " + id + ", " + std::to_string(k + 1) + " of " +
                       std::to_string(ids->size()));
    const auto spool = load_spool(id, *settings, *rules);
    if (spool) {
      out.rows.push_back(estimate_row(words, *settings, *spool, caller.version));
    } else {
      out.errors.push_back(spool.error());
    }
  }
  std::stable_sort(out.rows.begin(), out.rows.end(), *order);
  return out;
}

}  // namespace drydepth
