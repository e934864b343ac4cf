#include <CLI/CLI.hpp>
#include <memory>

#include "cli/commands.h"
#include "cli/settings.h"
#include "sheet/json.h"
#include "sheet/text.h"

namespace drydepth {
namespace {

struct EstimateWords {
  SharedWords shared;
  std::string spool;
};

Result<Report> estimate(const EstimateWords& words, const World& world) {
  const auto settings = understand(words.shared, world);
  if (!settings) return settings.error();
  const auto rules = load_rules(words.shared);
  if (!rules) return rules.error();
  auto loaded = load_spool(words.spool, *settings, *rules);
  if (!loaded) return loaded.error();
  const Contest& contest = loaded->contest;
  const SpoolRace race =
      run_race(contest, {}, {}, draw_members(words.shared, contest.priors),
               words.shared.threads);
  Report out;
  out.version = world.version;
  out.at = settings->at;
  out.nominal = settings->nominal;
  out.members = settings->nominal ? 1 : words.shared.members;
  out.decides = settings->decides;
  out.spools.push_back({.record = contest.record,
                        .material = contest.material,
                        .body = loaded->body,
                        .limits = contest.limits,
                        .now = race.now,
                        .timeline = contest.timeline,
                        .notes = loaded->notes});
  out.cautions = usual_cautions(out);
  return out;
}

}  // namespace

CommandRun estimate_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<EstimateWords>();
  add_model_options(app, words->shared);
  add_shelf_options(app, words->shared);
  app.add_option("SPOOL", words->spool, "An id on the shelf, or a record's path")
      ->required();
  return [words, &world] {
    const auto report = estimate(*words, world);
    if (!report) return complain(world, report.error());
    world.out << (words->shared.json ? pretty_json(estimate_json(*report))
                                     : estimate_text(*report, world.zone));
    return 0;
  };
}

}  // namespace drydepth
