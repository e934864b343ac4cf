#include "app/job/plan_jobs.h"

#include <future>

#include "base/exit_code.h"
#include "base/numbers.h"
#include "record/shelf.h"
#include "record/typed/quantity.h"

namespace drydepth {
namespace {

// What the options of plan alone say.
struct PlanSettings {
  double target = 0.1;
  double between_s = 0;
  std::optional<double> dry_k{};
};

Result<PlanSettings> understand_plan(const PlanRequest& words) {
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
Result<ChoiceFrame> frame_of(const Spool& spool, const Settings& settings,
                             const PlanSettings& plan) {
  ChoiceFrame out{.feeds = feed_airs(settings.places, spool.material, spool.body),
                  .dryer = {},
                  .ceiling_k = drying_ceiling_k(spool.material, spool.body),
                  .target = plan.target};
  out.dryer = std::get<HeaterAir>(out.feeds.back().air);
  if (plan.dry_k) out.dryer.temperature_k = *plan.dry_k;
  const double live_k = std::get<HeaterAir>(out.feeds.back().air).temperature_k;
  const auto too_hot = [&](const char* option, double kelvin) {
    return Error{option,
                 format_fixed(kelvin - kZeroCelsiusK, 0) + " C is above the " +
                     format_fixed(out.ceiling_k - kZeroCelsiusK, 0) + " C that " +
                     spool.material.id + " on a " + spool.body.kind +
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
  Planner(const PlanRequest& request, const Caller& caller)
      : words_(request), caller_(caller) {}

  Result<PlanReport> plan(const Progress& progress) {
    const auto plan = understand_plan(words_);
    if (!plan) return plan.error();
    plan_ = *plan;
    const auto named = spools_named();
    if (!named) return named.error();
    auto spools = gather_spools(words_.on, caller_, *named);
    if (!spools) return spools.error();
    spools_ = *std::move(spools);
    tell(progress, "reading the jobs");
    auto fits = std::async(std::launch::async, [this] {
      return fit_all(spools_, words_.on.shared, caller_.version);
    });
    auto queue = read_queue();
    fits_ = fits.get();
    if (!queue) return queue.error();
    out_.queue = *std::move(queue);
    tell(progress, "trying ways");
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
      for (const auto& [tool, word] : spools_named_in(path, *job, caller_)) {
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
      const auto reading = scan_options(spools_, words_.on, caller_);
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
    out_.head.version = caller_.version;
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

  double limit_of(const Spool& spool) const {
    return spool.limits[spools_.settings.decides];
  }

  std::vector<DrawPoint> curve_of(int tool, const Spool& spool) const {
    return queue_curve(out_.queue, tool, spool.record, spool.material);
  }

  Result<Done> plan_tool(int tool, const std::string& word) {
    const Spool& spool = spools_.loaded.at(word);
    const SpoolFit& fit = fits_.at(word);
    const unsigned threads = words_.on.shared.threads;
    const auto frame = frame_of(spool, spools_.settings, plan_);
    if (!frame) return frame.error();
    const auto curve = curve_of(tool, spool);
    const auto starts = start_members(spool, fit.members, threads);
    SpoolPlan plan{.spool = report_spool(spool, fit, estimate_of(starts)),
                   .in_use = feed_of(spools_, tool),
                   .frame = *frame};
    plan.spool.tool = tool;
    plan.spool.needed_kg = curve.back().mass_kg;
    plan.choices =
        find_choices({spool, curve, limit_of(spool), starts, threads}, *frame);
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
      const Spool& spool = *loaded;
      const auto frame = frame_of(spool, spools_.settings, plan_);
      if (spool.material.id != plan.spool.of.material.id || !frame ||
          is_in_use(spool)) {
        continue;
      }
      const SpoolFit fit = fit_members(words_.on.shared, spool, caller_.version);
      const auto curve = curve_of(tool, spool);
      const SpoolRace race =
          run_race(spool, curve, frame->feeds, fit.members, words_.on.shared.threads);
      if (race.now.remaining_kg < curve.back().mass_kg) continue;
      OtherSpool other{.id = spool.record.id,
                       .left_kg = race.now.remaining_kg,
                       .told = can_tell(spool, race.now)};
      for (const FeedRace& f : race.feeds) {
        other.chances.push_back(f.limits[spools_.settings.decides].share_above);
      }
      plan.others.push_back(std::move(other));
    }
    rank_others(plan);
  }

  bool is_in_use(const Spool& spool) const {
    for (const auto& [word, loaded] : spools_.loaded) {
      if (loaded.record.id == spool.record.id) return true;
    }
    return false;
  }

  const PlanRequest& words_;
  const Caller& caller_;
  PlanSettings plan_;
  JobSpools spools_;
  std::map<std::string, SpoolFit> fits_;
  PlanReport out_;
};

}  // namespace

Result<PlanReport> plan_jobs(const PlanRequest& request, const Caller& caller,
                             const Progress& progress) {
  return Planner(request, caller).plan(progress);
}

}  // namespace drydepth
