#pragma once

// What the tool found, as data. The terminal text, the JSON, the block in the job and
// the job sheet are four renderings of this one struct.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/time.h"
#include "guard/actions/message.h"
#include "guard/actions/retract.h"
#include "guard/course.h"
#include "guard/forecast.h"
#include "guard/place.h"
#include "guard/race.h"
#include "guard/sensitivity.h"
#include "guard/stamp.h"
#include "guard/verdict.h"
#include "inference/exponential.h"
#include "rules/bodies.h"
#include "spool/fit/fit.h"

namespace drydepth {

/// A crossing as people find it again.
struct CrossingPlace {
  double mass_kg = 0;
  Place place{};
};

/// p10, p50, p90; nothing where that share never crosses.
using Crossings = std::array<std::optional<CrossingPlace>, 3>;

/// How a feed fares under a hand on the printer's knobs.
struct HandReport {
  Hand hand{};
  double share_above = 0;
  std::optional<CrossingPlace> likely{};  ///< p50; time and grams as they are then
};

/// One tool's race from one feed, its places found in the job.
struct FeedReport {
  int tool = 0;
  bool in_use = false;
  Verdict verdict = Verdict::kCannotTell;
  FeedRace race{};
  ByLimit<Crossings> crossing{};
  std::vector<Place> nozzle{};      ///< of race.nozzle, one each
  std::vector<HandReport> hands{};  ///< of the feed in use

  Feed feed() const { return race.feed.feed; }
  const AirSpec& air() const { return race.feed.air; }
};

/// A spool as it stands at the report's time.
struct SpoolReport {
  int tool = 0;
  Spool of{};  ///< the spool that this is about
  SpoolEstimate now{};
  SpoolFit fit{};
  bool told = true;      ///< false: nothing says what its moisture is; see can_tell()
  double needed_kg = 0;  ///< what the job takes; 0 without a job
  double support_share = 0;        ///< of that: support, interface or tower
  bool supports_only = false;      ///< beside other tools, by the policy's share
  std::optional<Course> course{};  ///< only where a page is drawn
};

/// What drying on would do, and which reading would tell most.
struct DryingReport {
  std::optional<HeaterAir> heater{};  ///< nothing: the spool just stands there
  double need_kg = 0;
  DryingForecast forecast{};
  NextBest next{};
  double scale_sd_kg = 0;
  double piece_kg = 0;  ///< cut from outside, so that the scale sees 0.05 % of it
};

/// One exponential through the readings of the last drying, to compare with.
struct ExponentialReport {
  std::size_t readings = 0;
  ExponentialFit fit{};  ///< kg over hours
  double content = 0;    ///< what it would say of the mean at the last reading
};

struct Report {
  std::string version{};
  Instant at{};          ///< the job's start, or the moment of the estimate
  bool nominal = false;  ///< one run at central values: each range is one number
  std::size_t members = 0;
  Limit decides = Limit::kCosmetic;
  SupportWeight support = SupportWeight::kLess;
  std::string job_file{};  ///< empty without a job
  std::optional<Trace> job{};
  std::vector<std::string> unwatched{};  ///< tools nobody watches, "T1"
  std::vector<SpoolReport> spools{};
  std::vector<FeedReport> feeds{};  ///< per tool: open, dry-box, live-dryer
  std::vector<PlannedEdit> edits{};
  std::vector<RetractPlan> retract{};  ///< until lengthen() has looked for them
  std::vector<Edit> line_edits{};      ///< of single lines; said in sum among the edits
  std::optional<Stamp> stamp{};  ///< of the job with its edits; for the note alone
  bool edits_written = true;     ///< false in a preview, or where the verdict forbids
  std::optional<DryingReport> drying{};
  std::optional<ExponentialReport> exponential{};
  std::optional<Sensitivity> sensitivity{};
  std::vector<std::string> advice{};
  std::vector<std::string> cautions{};
};

/// Dry mass of a millimetre of a spool's strand, kg.
double kg_per_mm(const SpoolReport& spool);

/// Turns of the winding, from outside, that hold a dry mass.
double wraps_of(const SpoolReport& spool, double mass_kg);

/// When the dry depth of the deciding limit stops being what the report says, in room
/// air; nothing where there is none, or where it holds for the time looked at.
std::optional<Instant> valid_until(const Report& report, const SpoolReport& spool);

/// A spool as its members tell it, without a job.
SpoolReport report_spool(const Spool& spool, const SpoolFit& fit,
                         const SpoolEstimate& now);

/// One feed of the race with its places found in the job.
FeedReport report_feed(const Trace& trace, const ToolTrace& tool,
                       const SpoolReport& spool, const FeedRace& race, Limit decides,
                       bool in_use);

/// A race under a hand, its likely crossing found in the job.
HandReport report_hand(const Trace& trace, const ToolTrace& tool,
                       const SpoolReport& spool, const HandRace& race);

/// What a feed's verdict counts as for the job: see SupportWeight.
Verdict counted(const Report& report, const FeedReport& feed);

/// One sentence on each tool: what the numbers mean for the decision. And the usual
/// cautions, which no number takes back.
std::vector<std::string> advise(const Report& report);
std::vector<std::string> usual_cautions(const Report& report);

/// "23 C, 45 %" or "75 C, room 23 C, 45 %".
std::string air_text(const AirSpec& air);

}  // namespace drydepth
