#include "report/unmeasured.h"

#include <algorithm>

#include "report/words.h"

namespace drydepth {
namespace {

const Span* last_drying(const Timeline& timeline) {
  const auto last =
      std::find_if(timeline.spans.rbegin(), timeline.spans.rend(),
                   [](const Span& s) { return s.kind == SpanKind::kDrying; });
  return last == timeline.spans.rend() ? nullptr : &*last;
}

bool logged(const SpoolRecord& record, const Span& span) {
  if (!span.event) return false;
  const auto* event = std::get_if<Interval>(&record.events[*span.event]);
  return event && event->air && std::holds_alternative<AirLog>(*event->air);
}

void about_weighings(const SpoolReport& spool, const Span* drying,
                     std::vector<std::string>& out) {
  const auto& readings = spool.of.timeline.readings;
  if (readings.empty()) {
    out.push_back("The spool was never weighed: its moisture is the priors' alone.");
  } else if (drying && readings.back().at < drying->to) {
    out.push_back("The spool was not weighed after its last drying.");
  }
  if (!body_at(spool.of.record, spool.of.timeline.to).tare_kg) {
    out.push_back("The empty body was not weighed: its mass is a guess.");
  }
}

}  // namespace

std::vector<std::string> unmeasured(const SpoolReport& spool) {
  std::vector<std::string> out;
  const Span* drying = last_drying(spool.of.timeline);
  about_weighings(spool, drying, out);
  if (spool.fit.evidence.empty()) {
    out.push_back(
        "No piece of the outer wraps was tested: how deep the estimate holds comes "
        "from the model, and a scale under the whole spool hardly sees it.");
  }
  if (drying && !logged(spool.of.record, *drying)) {
    out.push_back("The dryer's air was set, not logged at the spool.");
  }
  const bool room =
      std::any_of(spool.of.timeline.spans.begin(), spool.of.timeline.spans.end(),
                  [](const Span& s) { return s.assumed || s.room_assumed; });
  if (room) out.push_back("Part of the time is assumed to be storage in room air.");
  if (spool.of.record.opened.moisture) {
    out.push_back("The moisture at opening, " +
                  percent_text(*spool.of.record.opened.moisture) +
                  ", is the record's word.");
  }
  return out;
}

}  // namespace drydepth
