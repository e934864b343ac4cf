// plan: what it takes to get jobs through on the spools at hand.

#include <CLI/CLI.hpp>
#include <future>
#include <memory>

#include "base/exit_code.h"
#include "base/numbers.h"
#include "cli/commands.h"
#include "cli/job_spools.h"
#include "gcode/container.h"
#include "sheet/plan_json.h"
#include "sheet/plan_text.h"
#include "spool/quantity.h"
#include "spool/shelf.h"

namespace drydepth {
namespace {

struct PlanWords {
  JobWords on;
  std::vector<std::string> jobs;
  std::string dry, chance = "10%", between;
};

// What the options of plan alone say.
struct PlanSettings {
  double target = 0.1;
  double between_s = 0;
  std::optional<double> dry_k{};
};

Result<PlanSettings> understand_plan(const PlanWords& words) {
  const auto named = [](const char* option, const Error& error) {
    return Error{option, error.what, error.hint, kExitUsage};
  };
  PlanSettings out;
  const auto percent = parse_leading_number(words.chance);
  if (!percent || percent->rest != "%" || percent->value <= 0 || percent->value > 90) {
    return Error{"--chance",
                 "\"" + words.chance + "\" is no chance above 0 and to 90 %",
                 "write e.g. 10%", kExitUsage};
  }
  out.target = percent->value / 100.0;
  if (!words.between.empty()) {
    const auto between = parse_duration(words.between);
    if (!between) return named("--between", between.error());
    out.between_s = static_cast<double>(between->count());
  }
  if (!words.dry.empty()) {
    const auto dry = parse_temperature_k(words.dry);
    if (!dry) return named("--dry", dry.error());
    out.dry_k = *dry;
  }
  return out;
}

// What the ways of one spool are made of. Error for a heater hotter than what polymer
// and body stand, since no advice shall say so.
Result<ChoiceFrame> frame_of(const LoadedSpool& spool, const Settings& settings,
                             const PlanSettings& plan) {
  ChoiceFrame out{.feeds = feed_airs(settings, spool),
                  .dryer = {},
                  .ceiling_k = drying_ceiling_k(spool),
                  .target = plan.target};
  out.dryer = std::get<HeaterAir>(out.feeds.back().air);
  if (plan.dry_k) out.dryer.temperature_k = *plan.dry_k;
  const double live_k = std::get<HeaterAir>(out.feeds.back().air).temperature_k;
  const auto too_hot = [&](const char* option, double kelvin) {
    return Error{option,
                 format_fixed(kelvin - kZeroCelsiusK, 0) + " C is above the " +
                     format_fixed(out.ceiling_k - kZeroCelsiusK, 0) + " C that " +
                     spool.contest.material.id + " on a " + spool.body.kind +
                     " body is rated for here",
                 "give a lower temperature", kExitUsage};
  };
  if (live_k > out.ceiling_k + 1e-9) return too_hot("--dryer", live_k);
  if (out.dryer.temperature_k > out.ceiling_k + 1e-9) {
    return too_hot("--dry", out.dryer.temperature_k);
  }
  return out;
}

class Planner {
 public:
  Planner(const PlanWords& words, const World& world) : words_(words), world_(world) {}

  Result<PlanReport> plan() {
    const auto plan = understand_plan(words_);
    if (!plan) return plan.error();
    plan_ = *plan;
    const auto named = spools_named();
    if (!named) return named.error();
    auto spools = gather_spools(words_.on, world_, *named);
    if (!spools) return spools.error();
    spools_ = *std::move(spools);
    auto fits = std::async(std::launch::async, [this] {
      return fit_all(spools_, words_.on.shared, world_);
    });
    auto queue = read_queue();
    fits_ = fits.get();
    if (!queue) return queue.error();
    out_.queue = *std::move(queue);
    fill_head();
    const auto words = assign();
    if (!words) return words.error();
    for (const auto& [tool, word] : *words) {
      if (word == kNobody) {
        out_.head.unwatched.push_back("T" + std::to_string(tool));
        continue;
      }
      const auto added = plan_tool(tool, word);
      if (!added) return added.error();
    }
    for (const SpoolPlan& p : out_.plans) out_.head.spools.push_back(p.spool);
    out_.head.cautions = plan_cautions(out_);
    return std::move(out_);
  }

 private:
  // What the jobs name themselves. One that cannot be read is complained of later.
  Result<SpoolMap> spools_named() const {
    SpoolMap out;
    if (!words_.on.spools.empty()) return out;
    for (const std::string& path : words_.jobs) {
      const auto job = open_job(path, words_.on.reading.plate);
      if (!job) continue;
      for (const auto& [tool, word] : spools_named_in(path, *job, world_)) {
        const auto [at, fresh] = out.emplace(tool, word);
        if (fresh || at->second == word) continue;
        return Error{path,
                     "it names the spool " + word + ", a job ahead of it " + at->second,
                     "say with --spool which one they all print from", kExitUsage};
      }
    }
    return out;
  }

  Result<std::vector<QueuedJob>> read_queue() const {
    std::vector<QueuedJob> out;
    for (const std::string& path : words_.jobs) {
      const auto job = open_job(path, words_.on.reading.plate);
      if (!job) return job.error();
      const auto reading = scan_options(spools_, words_.on, world_);
      if (!reading) return reading.error();
      auto trace = scan(job->text, *reading);
      if (!trace) return trace.error();
      out.push_back({.name = std::filesystem::path(path).filename().string(),
                     .trace = *std::move(trace)});
    }
    return make_queue(std::move(out), plan_.between_s);
  }

  void fill_head() {
    out_.target = plan_.target;
    out_.head.version = world_.version;
    out_.head.at = spools_.settings.at;
    out_.head.nominal = spools_.settings.nominal;
    out_.head.members = spools_.settings.nominal ? 1 : words_.on.shared.members;
    out_.head.decides = spools_.settings.decides;
  }

  // The spool of each tool over all jobs.
  Result<std::map<int, std::string>> assign() const {
    std::map<int, std::string> out;
    for (std::size_t k = 0; k < out_.queue.size(); ++k) {
      const auto words =
          assign_spools(spools_.map, out_.queue[k].trace, words_.jobs[k]);
      if (!words) return words.error();
      for (const auto& [tool, word] : *words) {
        for (const auto& [other, taken] : out) {
          if (taken == word && other != tool && word != kNobody) {
            return Error{words_.jobs[k],
                         "T" + std::to_string(other) + " and T" + std::to_string(tool) +
                             " cannot both take from " + word,
                         "give each tool its own spool, or none", kExitUsage};
          }
        }
        out[tool] = word;
      }
    }
    return out;
  }

  double limit_of(const Contest& contest) const {
    return deciding(contest.limits, spools_.settings.decides);
  }

  std::vector<DrawPoint> curve_of(int tool, const Contest& contest) const {
    return queue_curve(out_.queue, tool, contest.record, contest.material);
  }

  Result<Done> plan_tool(int tool, const std::string& word) {
    const LoadedSpool& loaded = spools_.loaded.at(word);
    const Contest& contest = loaded.contest;
    const SpoolFit& fit = fits_.at(word);
    const unsigned threads = words_.on.shared.threads;
    const auto frame = frame_of(loaded, spools_.settings, plan_);
    if (!frame) return frame.error();
    const auto curve = curve_of(tool, contest);
    const auto starts = start_members(contest, fit.members, threads);
    SpoolPlan plan{
        .spool = report_spool(contest, loaded.body, fit, estimate_of(starts)),
        .in_use = feed_of(spools_, tool),
        .frame = *frame};
    plan.spool.tool = tool;
    plan.spool.notes = loaded.notes;
    plan.spool.needed_kg = curve.back().mass_kg;
    plan.choices =
        find_choices({contest, curve, limit_of(contest), starts, threads}, *frame);
    look_on_shelf(tool, plan);
    out_.plans.push_back(std::move(plan));
    return Done{};
  }

  // Spools of the same material with enough left. One whose record is broken is no
  // choice; `shelf` says what is wrong with it.
  void look_on_shelf(int tool, SpoolPlan& plan) {
    const auto ids = list_shelf(spools_.settings.shelf);
    if (!ids) return;
    for (const std::string& id : *ids) {
      const auto loaded = load_spool(id, spools_.settings, spools_.rules);
      if (!loaded) continue;
      const Contest& contest = loaded->contest;
      const auto frame = frame_of(*loaded, spools_.settings, plan_);
      if (contest.material.id != plan.spool.material.id || !frame ||
          is_in_use(*loaded)) {
        continue;
      }
      const SpoolFit fit = fit_members(words_.on.shared, *loaded, world_);
      const auto curve = curve_of(tool, contest);
      const SpoolRace race =
          run_race(contest, curve, frame->feeds, fit.members, words_.on.shared.threads);
      if (race.now.remaining_kg < curve.back().mass_kg) continue;
      OtherSpool other{.id = contest.record.id,
                       .left_kg = race.now.remaining_kg,
                       .told = can_tell(contest, race.now)};
      for (const FeedRace& f : race.feeds) {
        other.chances.push_back(spools_.settings.decides == LimitKind::kCosmetic
                                    ? f.cosmetic.share_above
                                    : f.strength.share_above);
      }
      plan.others.push_back(std::move(other));
    }
    rank_others(plan);
  }

  bool is_in_use(const LoadedSpool& spool) const {
    for (const auto& [word, loaded] : spools_.loaded) {
      if (loaded.contest.record.id == spool.contest.record.id) return true;
    }
    return false;
  }

  const PlanWords& words_;
  const World& world_;
  PlanSettings plan_;
  JobSpools spools_;
  std::map<std::string, SpoolFit> fits_;
  PlanReport out_;
};

int run_plan(const PlanWords& words, const World& world) {
  Planner planner(words, world);
  const auto report = planner.plan();
  if (!report) return complain(world, report.error());
  world.out << (words.on.shared.json ? pretty_json(plan_json(*report))
                                     : plan_text(*report, world.zone));
  return kExitDone;
}

}  // namespace

CommandRun plan_command(CLI::App& app, const World& world) {
  auto words = std::make_shared<PlanWords>();
  add_job_options(app, words->on);
  add_feed_options(app, words->on.shared);
  app.add_option("--dry", words->dry,
                 "Temperature of drying ahead of the job; default that of the live "
                 "dryer")
      ->type_name("TEMP");
  app.add_option("--chance", words->chance,
                 "A way suffices while its chance to pass the limit is below this")
      ->capture_default_str()
      ->type_name("PERCENT");
  app.add_option("--between", words->between,
                 "Time from the end of one job to the start of the next")
      ->type_name("TIME");
  add_model_options(app, words->on.shared);
  add_shelf_options(app, words->on.shared);
  app.add_option("JOB", words->jobs,
                 "Sliced G-code, read only; several run one after another")
      ->required();
  return [words, &world] { return run_plan(*words, world); };
}

}  // namespace drydepth
