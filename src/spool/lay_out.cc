#include "spool/lay_out.h"

#include <algorithm>

#include "base/exit_code.h"
#include "spool/checks.h"
#include "spool/lot.h"
#include "spool/wound.h"

namespace drydepth {
namespace {

// The bodies of a record by their rules: the first, those of its respools, and the one
// it is on at a moment.
struct Bodies {
  Body first, now;
  std::vector<Body> later;
};

Result<Bodies> find_bodies(const std::vector<Body>& rules, const SpoolRecord& record,
                           Instant at) {
  Bodies out;
  const auto first = find_body(rules, record.body.kind, record.file + " /body/kind");
  if (!first) return first.error();
  out.first = out.now = *first;
  for (std::size_t i = 0; i < record.events.size(); ++i) {
    const auto* respool = std::get_if<Respool>(&record.events[i]);
    if (respool == nullptr) continue;
    const auto body =
        find_body(rules, respool->body.kind,
                  record.file + " /events/" + std::to_string(i) + "/body/kind");
    if (!body) return body.error();
    out.later.push_back(*body);
    if (respool->at <= at) out.now = *body;
  }
  return out;
}

Result<Done> check(const SpoolRecord& record, const Material& material) {
  const auto masses = check_masses(record, material);
  if (!masses) return masses;
  const auto wound = check_respools(record, material);
  if (!wound) return wound;
  return check_layers(record, material);
}

Result<Done> leave_out(const std::vector<Instant>& without, Timeline& timeline) {
  for (const Instant at : without) {
    std::size_t gone = std::erase_if(timeline.readings,
                                     [&](const ScaleReading& r) { return r.at == at; });
    for (OuterEvidence& e : timeline.evidence) {
      if (e.at != at) continue;
      e = unlearned({e}).front();
      ++gone;
    }
    if (gone == 0) {
      return Error{"--without",
                   "no weighing, piece, coupon or purge at " + format_instant(at),
                   "write its time as the record has it", kExitUsage};
    }
  }
  return Done{};
}

// A print whose air nobody logged stood in its feed's usual air.
void assume_feeds(const std::vector<FeedAir>& feeds, Timeline& timeline) {
  for (Span& span : timeline.spans) {
    if (span.kind != SpanKind::kPrint || !span.room_assumed) continue;
    for (const FeedAir& feed : feeds) {
      if (feed.feed == span.feed) span.air = feed.air;
    }
  }
}

}  // namespace

Result<Spool> match_rules(SpoolRecord record, const Rules& rules, Instant at) {
  const auto material =
      find_material(rules.materials, record.material, record.file + " /material");
  if (!material) return material.error();
  const auto bodies = find_bodies(rules.bodies, record, at);
  if (!bodies) return bodies.error();
  Spool out;
  out.material = of_lot(record, *material);
  out.body = bodies->now;
  out.priors = spool_priors(record, out.material, bodies->first, bodies->later);
  out.limits = limits_of(out.material);
  out.rules_text = rules_text(record, rules);
  out.record = std::move(record);
  return out;
}

Result<Spool> lay_out(SpoolRecord record, const Rules& rules,
                      const Circumstances& around) {
  auto matched = match_rules(std::move(record), rules, around.at);
  if (!matched) return matched;
  Spool out = *std::move(matched);
  const auto checked = check(out.record, out.material);
  if (!checked) return checked.error();
  const StatedAir& room = around.places.room;
  auto timeline = make_timeline(out.record, around.at, room);
  if (!timeline) return timeline.error();
  out.timeline = *std::move(timeline);
  out.timeline.evidence =
      outer_evidence(out.record, out.material, rules.evidence, room, around.at);
  const auto left_out = leave_out(around.without, out.timeline);
  if (!left_out) return left_out.error();
  assume_feeds(feed_airs(around.places, out.material, out.body), out.timeline);
  out.room = room;
  out.notes = out.priors.notes;
  for (const std::string& note : timeline_notes(out.timeline)) {
    out.notes.push_back(note);
  }
  return out;
}

std::string rules_text(const SpoolRecord& record, const Rules& rules) {
  std::string out = rules.evidence.text + "\n";
  const auto material = find_material(rules.materials, record.material, "");
  if (material) out += material->text + "\n";
  const auto add_body = [&](const BodyRecord& body) {
    const auto found = find_body(rules.bodies, body.kind, "");
    if (found) out += found->text + "\n";
  };
  add_body(record.body);
  for (const Event& event : record.events) {
    if (const auto* respool = std::get_if<Respool>(&event)) add_body(respool->body);
  }
  return out;
}

}  // namespace drydepth
