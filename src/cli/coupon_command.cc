// coupon: the two-length test as a calculator. Nothing is logged; that is log's.

#include <memory>

#include "base/exit_code.h"
#include "base/json_text.h"
#include "base/json_value.h"
#include "cli/commands.h"
#include "cli/options.h"
#include "cli/print.h"
#include "record/coupon.h"
#include "report/evidence_text.h"

namespace drydepth {
namespace {

struct CouponWords {
  SharedWords shared;
  std::vector<std::string> words;
};

Error at_coupon(const Error& error) {
  return {"coupon", error.what, error.hint, kExitUsage};
}

Result<std::string> calculate(const CouponWords& words) {
  double sd_m = kCaliperSdM;
  std::vector<CouponLength> lengths;
  for (std::size_t k = 0; k < words.words.size(); ++k) {
    if (words.words[k] == "sd") {
      const auto sd = parse_caliper_sd(++k < words.words.size() ? words.words[k] : "");
      if (!sd) return at_coupon(sd.error());
      sd_m = *sd;
      continue;
    }
    const auto length = parse_coupon_length(words.words[k]);
    if (!length) return at_coupon(length.error());
    lengths.push_back(*length);
  }
  const auto fit = fit_coupon(lengths, sd_m);
  if (!fit) return at_coupon(fit.error());
  const auto rules = load_rules(words.shared.rules);
  if (!rules) return rules.error();
  return words.shared.json ? pretty_json(coupon_json(*fit, sd_m, rules->evidence))
                           : coupon_text(*fit, sd_m, rules->evidence);
}

}  // namespace

CommandRun coupon_command(Command& app, const World& world) {
  auto words = std::make_shared<CouponWords>();
  app.add_option("WORDS", words->words,
                 "Lengths as drawn and as measured, mm: 20=20.33 100=99.47 [sd 0.02], "
                 "sd what the caliper repeats to")
      .required();
  app.add_flag("--json", words->shared.json, "Print the result as JSON");
  add_shelf_options(app, words->shared);
  return [words, &world] {
    const auto text = calculate(*words);
    if (!text) return complain(world, text.error());
    print(world, *text);
    return 0;
  };
}

}  // namespace drydepth
