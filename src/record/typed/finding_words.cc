#include "record/typed/finding_words.h"

#include <cmath>

#include "base/nearest.h"
#include "base/numbers.h"
#include "record/coupon.h"

namespace drydepth {
namespace {

double mass_kg(WordReader& in, std::string_view expected, std::string_view example) {
  return in.checked(parse_mass_kg(in.word(expected, example)), 1.0);
}

void unknown(WordReader& in, const std::vector<std::string>& known) {
  in.fail(in.peek(), "unknown word", did_you_mean(in.peek(), known));
}

// A word that may begin a time: a digit, or a day.
bool is_time(std::string_view word) {
  if (word.empty()) return false;
  const bool digit = word.front() >= '0' && word.front() <= '9';
  return digit || word == "now" || word == "yesterday" || word == "today" ||
         word == "tomorrow";
}

bool take_time(WordReader& in, Instant& at) {
  if (!in.take("at") && !is_time(in.peek())) return false;
  at = past_moment(in, in.time_words());
  return true;
}

// "5pops", "pops", "no pops".
bool take_pops(WordReader& in, Purge& purge) {
  const auto counted = parse_leading_number(in.peek());
  const bool whole = counted && counted->value >= 0 && counted->value <= 1000 &&
                     counted->value == std::floor(counted->value);
  if (whole && (counted->rest == "pops" || counted->rest == "pop")) {
    purge.pop_count = static_cast<int>(counted->value);
    purge.pops = counted->value > 0;
    in.word("", "");
    return true;
  }
  if (!in.take("pops")) return false;
  purge.pops = true;
  return true;
}

bool take_absent(WordReader& in, Purge& purge) {
  if (!in.take("no")) return false;
  if (in.take("pops")) {
    purge.pops = false;
  } else if (in.take("strings")) {
    purge.strings = false;
  } else {
    in.fail("", "after \"no\" it does not say what was not there",
            "write no pops or no strings");
  }
  return true;
}

double length_m(WordReader& in) {
  const std::string text = in.word("a length of filament", "100mm");
  const auto number = parse_leading_number(text);
  if (number && number->value > 0) {
    if (number->rest == "mm") return number->value / 1000;
    if (number->rest == "m") return number->value;
  }
  in.fail("", "expected a length of filament, got \"" + text + "\"",
          "write e.g. 100mm");
  return 0;
}

}  // namespace

Piece parse_piece(WordReader& in) {
  Piece out{.at = in.clock().now};
  out.before_kg = mass_kg(in, "the piece's mass before drying", "3.42g");
  out.after_kg = mass_kg(in, "the piece's mass after drying", "3.35g");
  while (!in.at_end()) {
    if (in.take("scale")) {
      out.scale_sd_kg = mass_kg(in, "the scale's spread", "1mg");
    } else if (in.take("dried")) {
      out.dried_k = in.checked(
          parse_temperature_k(in.word("the temperature it was dried at", "80C")),
          300.0);
    } else if (!take_time(in, out.at)) {
      unknown(in, {"scale", "dried", "at"});
    }
  }
  return out;
}

Coupon parse_coupon(WordReader& in) {
  Coupon out{.at = in.clock().now};
  while (!in.at_end()) {
    if (in.take("sd")) {
      out.caliper_sd_m = in.checked(
          parse_caliper_sd(in.word("what the caliper repeats to", "0.02")), 1e-3);
    } else if (in.peek().find('=') != std::string_view::npos) {
      out.lengths.push_back(in.checked(
          parse_coupon_length(in.word("a length", "100=99.47")), CouponLength{}));
    } else if (!take_time(in, out.at)) {
      unknown(in, {"sd", "at"});
    }
  }
  const double sd_m = out.caliper_sd_m > 0 ? out.caliper_sd_m : kCaliperSdM;
  const auto fit = fit_coupon(out.lengths, sd_m);
  if (!fit) in.fail("", fit.error().what, fit.error().hint);
  return out;
}

Purge parse_purge(WordReader& in) {
  Purge out{.at = in.clock().now};
  while (!in.at_end()) {
    if (take_pops(in, out) || take_absent(in, out)) continue;
    if (in.take("strings")) {
      out.strings = true;
    } else if (in.take("of")) {
      out.length_m = length_m(in);
    } else if (!take_time(in, out.at)) {
      unknown(in, {"pops", "strings", "no", "of", "at"});
    }
  }
  if (!out.pops && !out.strings) {
    in.fail("", "it does not say what was heard or seen",
            "write e.g. 5pops, no pops, strings or no strings");
  }
  return out;
}

}  // namespace drydepth
