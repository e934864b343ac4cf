#include "app/job/verify_job.h"

#include "app/job/job_spools.h"
#include "app/job/stamped.h"
#include "base/exit_code.h"
#include "record/typed/quantity.h"

namespace drydepth {

Result<Verified> verify_job(const VerifyRequest& words, const Caller& caller) {
  const auto map = read_spool_map(words.spools);
  if (!map) return map.error();
  Verified out{.at = caller.now};
  if (!words.shared.at.empty()) {
    const auto at =
        parse_moment(words.shared.at, caller.now, caller.zone, Lean::kAhead);
    if (!at) return Error{"--at", at.error().what, at.error().hint, kExitUsage};
    out.at = *at;
  }
  auto job = open_stamped(words.job);
  if (!job) return job.error();
  out.stamp = job->stamp;
  const auto digest = digest_stamped(*job);
  if (!digest) return digest.error();
  out.job_changes = changes_since(out.stamp, digest->digest, job->blocks);
  out.ends_changed = digest->ends_changed;
  const auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  const auto spools =
      load_stamped(out.stamp, *map, shelf_folder(words.shared, caller), *rules);
  if (!spools) return spools.error();
  for (const SpoolStamp& s : out.stamp.spools) {
    const Spool& now = spools->at(s.tool);
    out.spools.push_back(
        {.tool = s.tool,
         .id = s.id,
         .verdict = s.verdict,
         .feed = s.print.feed,
         .changes = changes_since(s, digest_stamped(now, rules->policy)),
         .printed = counts_print(now.record, print_name(out.stamp))});
  }
  out.time_doubt = time_doubt(out.stamp, out.at);
  return out;
}

}  // namespace drydepth
