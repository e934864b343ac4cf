#include "record/typed/log_words.h"

#include <cmath>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "base/exit_code.h"
#include "base/nearest.h"
#include "base/numbers.h"
#include "base/units.h"
#include "record/typed/finding_words.h"
#include "record/typed/joined_words.h"
#include "record/typed/quantity.h"
#include "record/typed/word_reader.h"

namespace drydepth {
namespace {

// What an interval's words said about its time.
struct SpanWords {
  std::string since;
  std::string until;
  std::optional<Seconds> duration;
};

bool is_bare_time_of_day(std::string_view text) {
  return text.size() <= 5 && text.find(':') != std::string_view::npos;
}

double flow_m3_s(WordReader& in) {
  const std::string text = in.word("a flow of air", "0.3m3/h");
  const std::optional<NumberAndRest> number = parse_leading_number(text);
  if (number && number->rest == "m3/h" && number->value >= 0) {
    return number->value / kSecondsPerHour;
  }
  in.fail("", "expected a flow of air, got \"" + text + "\"", "write e.g. 0.3m3/h");
  return 0;
}

double volume_m3(WordReader& in) {
  const std::string text = in.word("a volume", "20l");
  const std::optional<NumberAndRest> number = parse_leading_number(text);
  if (number && number->value > 0) {
    if (number->rest == "l" || number->rest == "L") return number->value / 1000;
    if (number->rest == "m3") return number->value;
  }
  in.fail("", "expected a volume, got \"" + text + "\"", "write e.g. 20l or 0.02m3");
  return 1;
}

bool take_time(WordReader& in, SpanWords& span) {
  if (in.take("since") || in.take("from")) {
    span.since = in.time_words();
  } else if (in.take("until") || in.take("to")) {
    span.until = in.time_words();
  } else if (in.take("for")) {
    span.duration =
        in.checked(parse_duration(in.word("a duration", "10h")), Seconds(1));
  } else {
    return false;
  }
  if (!span.until.empty() && span.duration) {
    in.fail("", "both an end and a duration are given", "keep one of until and for");
  }
  return true;
}

bool take_heater(WordReader& in, HeaterAir& heater) {
  if (in.take("room")) {
    heater.room = in.checked(parse_air(in.word("the room's air", "23C/45%")), {});
  } else if (in.take("exchange")) {
    heater.exchange_m3_s = flow_m3_s(in);
  } else if (in.take("chamber")) {
    heater.chamber_m3 = volume_m3(in);
  } else {
    return false;
  }
  return true;
}

// What a log leaves open: the room it was heated from, the floor of its sensor.
bool take_log_words(WordReader& in, Interval& interval) {
  auto* log = interval.air ? std::get_if<AirLog>(&*interval.air) : nullptr;
  if (log == nullptr) return false;
  if (in.take("room")) {
    log->room = in.checked(parse_air(in.word("the room's air", "23C/45%")), {});
  } else if (in.take("floor")) {
    log->floor = in.checked(parse_activity(in.word("the sensor's floor", "20%")), 0.2);
  } else {
    return false;
  }
  return true;
}

bool take_air(WordReader& in, Interval& interval) {
  if (take_log_words(in, interval)) return true;
  if (in.take("log")) {
    interval.air = AirLog{.path = in.word("the name of a file", "dryer.csv")};
    return true;
  }
  if (in.peek().find('/') == std::string_view::npos) return false;
  interval.air = in.checked(parse_air(in.word("air", "23C/45%")), StatedAir{});
  return true;
}

// A temperature or a humidity alone is no air.
bool refuse_half_air(WordReader& in) {
  if (!parse_temperature_k(in.peek()) && !parse_activity(in.peek())) return false;
  const Error error = parse_air(in.peek()).error();
  in.fail("", error.what, error.hint);
  return true;
}

bool take_print(WordReader& in, Interval& interval) {
  if (in.take("feed")) {
    interval.feed = in.checked(parse_feed(in.word("a feed", "open")), Feed::kOpen);
  } else if (in.take("job")) {
    interval.job = in.word("the name of the job", "bracket.gcode");
  } else {
    return false;
  }
  return true;
}

void settle_span(WordReader& in, const SpanWords& words, Interval& interval) {
  interval.from = words.since.empty() ? in.clock().now : past_moment(in, words.since);
  if (words.duration) interval.to = interval.from + *words.duration;
  if (words.until.empty()) return;
  // "since 22:00 until 06:00" means the first six o'clock after that, past or not.
  const Instant seen_from =
      is_bare_time_of_day(words.until) ? interval.from : in.clock().now;
  interval.to = in.checked(
      parse_moment(words.until, seen_from, in.clock().zone, Lean::kAhead), Instant{});
  if (*interval.to <= interval.from) {
    in.fail("", "it would end before it starts", "mend since or until");
  }
}

Event parse_drying(WordReader& in) {
  Interval out;
  out.kind = SpanKind::kDrying;
  if (!take_air(in, out)) {
    HeaterAir heater;
    heater.temperature_k = in.checked(
        parse_temperature_k(in.word("the dryer's temperature", "82C")), 300.0);
    out.air = heater;
  }
  SpanWords span;
  while (!in.at_end()) {
    if (take_time(in, span)) continue;
    auto* heater = std::get_if<HeaterAir>(&*out.air);
    if (heater != nullptr && take_heater(in, *heater)) continue;
    if (heater == nullptr && take_log_words(in, out)) continue;
    in.fail(in.peek(), "unknown word",
            did_you_mean(in.peek(),
                         std::vector<std::string>{"room", "exchange", "chamber", "log",
                                                  "since", "until", "for"}));
  }
  settle_span(in, span, out);
  return out;
}

Event parse_storage(WordReader& in) {
  Interval out;
  SpanWords span;
  while (!in.at_end()) {
    if (take_time(in, span) || take_air(in, out) || refuse_half_air(in)) continue;
    in.fail(in.peek(), "unknown word",
            did_you_mean(in.peek(),
                         std::vector<std::string>{"log", "since", "until", "for"}));
  }
  settle_span(in, span, out);
  return out;
}

Event parse_print(WordReader& in) {
  Interval out;
  out.kind = SpanKind::kPrint;
  out.used_kg = in.checked(parse_mass_kg(in.word("the mass printed", "120.5g")), 1.0);
  SpanWords span;
  while (!in.at_end()) {
    if (take_time(in, span) || take_air(in, out) || take_print(in, out)) continue;
    if (refuse_half_air(in)) continue;
    in.fail(in.peek(), "unknown word",
            did_you_mean(in.peek(), std::vector<std::string>{"feed", "job", "log",
                                                             "since", "until", "for"}));
  }
  settle_span(in, span, out);
  return out;
}

Event parse_weighing(WordReader& in) {
  Weighing out{.at = in.clock().now};
  out.gross_kg =
      in.checked(parse_mass_kg(in.word("the reading of the scale", "1211.4g")), 1.0);
  // Beyond what the record takes, and so before anything else could say why.
  constexpr double kNoSpoolKg = 40;
  if (out.gross_kg > kNoSpoolKg) {
    in.fail("", format_shortest(out.gross_kg) + " kg is no spool of filament",
            "if grams were given as kilograms, write " +
                format_shortest(std::round(out.gross_kg * 10) / 10) + "g");
  }
  while (!in.at_end()) {
    if (in.take("scale")) {
      out.scale_sd_kg =
          in.checked(parse_mass_kg(in.word("the scale's spread", "0.1g")), 1.0);
      continue;
    }
    in.take("at");
    out.at = past_moment(in, in.time_words());
  }
  return out;
}

double length_m(WordReader& in, std::string_view expected, std::string_view example) {
  const std::string text = in.word(expected, example);
  const std::optional<NumberAndRest> number = parse_leading_number(text);
  if (number && number->rest == "mm" && number->value > 0) return number->value / 1000;
  in.fail("", "expected " + std::string(expected) + ", got \"" + text + "\"",
          "write e.g. " + std::string(example));
  return 1;
}

bool take_winding(WordReader& in, Respool& respool) {
  if (in.take("hub")) {
    respool.hub_diameter_m = length_m(in, "the hub's diameter", "80mm");
  } else if (in.take("width")) {
    respool.width_m = length_m(in, "the winding's width", "55mm");
  } else if (in.take("outer")) {
    respool.outer_diameter_m = length_m(in, "the outer diameter", "190mm");
  } else {
    return false;
  }
  return true;
}

Event parse_respool(WordReader& in) {
  Respool out{.at = in.clock().now};
  out.body.kind = in.word("the kind of the new body", "pc");
  while (!in.at_end()) {
    if (take_winding(in, out)) continue;
    if (in.take("tare")) {
      out.body.tare_kg =
          in.checked(parse_mass_kg(in.word("the new body's mass", "214g")), 1.0);
    } else if (in.take("hub-open")) {
      out.body.hub_open = true;
    } else if (in.peek().find('/') != std::string_view::npos) {
      out.air = in.checked(parse_air(in.word("air", "23C/45%")), StatedAir{});
    } else {
      in.take("at");
      out.at = past_moment(in, in.time_words());
    }
  }
  return out;
}

StopWords parse_stop(WordReader& in) {
  StopWords out{in.clock().now};
  if (in.at_end()) return out;
  in.take("at");
  out.at = past_moment(in, in.time_words());
  if (!in.at_end()) in.fail(in.peek(), "a stop takes one time, not also", "remove it");
  return out;
}

}  // namespace

Result<LogEntry> parse_log(std::span<const std::string> typed, const Clock& clock) {
  const std::vector<std::string> types = {"weighing", "drying",  "storage",
                                          "print",    "piece",   "coupon",
                                          "purge",    "respool", "stop"};
  if (typed.empty()) {
    return Error{"log", "it does not say what happened", did_you_mean("", types),
                 kExitUsage};
  }
  const std::vector<std::string> words = joined_words(typed);
  WordReader in(words, clock);
  std::optional<LogEntry> entry;
  const std::string& type = words.front();
  if (type == "weighing") entry = parse_weighing(in);
  if (type == "drying") entry = parse_drying(in);
  if (type == "storage") entry = parse_storage(in);
  if (type == "print") entry = parse_print(in);
  if (type == "piece") entry = Event{parse_piece(in)};
  if (type == "coupon") entry = Event{parse_coupon(in)};
  if (type == "purge") entry = Event{parse_purge(in)};
  if (type == "respool") entry = parse_respool(in);
  if (type == "stop") entry = parse_stop(in);
  if (!entry) {
    return Error{"log", "unknown event \"" + type + "\"", did_you_mean(type, types),
                 kExitUsage};
  }
  if (in.error()) return *in.error();
  return *std::move(entry);
}

}  // namespace drydepth
