#include "rules/evidence_rules.h"

#include "base/json_reader.h"
#include "base/json_value.h"

namespace drydepth {
namespace {

constexpr NumberRule kSmall{.min = 0, .max = 1, .example = "0.03"};
constexpr NumberRule kOffset{
    .unit = "millimetres", .min = -2, .max = 2, .example = "0.25"};
constexpr NumberRule kCount{.unit = "pops", .min = 1, .max = 1000, .example = "2"};
constexpr NumberRule kFactor{
    .unit = "cosmetic limits", .min = 0.1, .max = 20, .example = "1.5"};
// Neither certain: one test must never decide alone.
constexpr NumberRule kShare{.min = 0.01, .max = 0.99, .example = "0.6"};
constexpr NumberRule kHours{.unit = "hours", .min = 0, .max = 1000, .example = "12"};

SignRule read_sign(JsonReader in) {
  in.only_keys({"limit_factor", "share_above", "share_below"});
  SignRule out{.limit_factor = read_sourced(in, "limit_factor", kFactor),
               .share_above = read_sourced(in, "share_above", kShare),
               .share_below = read_sourced(in, "share_below", kShare)};
  if (!out.limit_factor.log_sd) {
    in.fail("limit_factor", "its spread is missing", "give log_sd, e.g. 0.5");
  }
  if (out.share_above.value <= out.share_below.value) {
    in.fail("share_above", "it is seen no more often above than below",
            "swap or mend share_above and share_below");
  }
  return out;
}

PieceRule read_piece(JsonReader in) {
  in.only_keys({"floor_log_sd", "left_share", "handling_share"});
  return {.floor_log_sd = read_sourced(in, "floor_log_sd", kSmall),
          .left_share = read_sourced(in, "left_share", kSmall),
          .handling_share = read_sourced(in, "handling_share", kSmall)};
}

EvidenceRules read_rules(JsonReader& in) {
  in.only_keys({"format", "piece", "coupon", "pops", "strings", "together_h"});
  in.choice("format", {"drydepth-evidence/1"});
  EvidenceRules out;
  out.piece = read_piece(in.object("piece"));
  JsonReader coupon = in.object("coupon");
  coupon.only_keys({"offset_mm", "sign"});
  out.coupon_offset_mm = read_sourced(coupon, "offset_mm", kOffset);
  if (!out.coupon_offset_mm.sd) {
    coupon.fail("offset_mm", "its spread is missing", "give sd, e.g. 0.1");
  }
  out.coupon = read_sign(coupon.object("sign"));
  JsonReader pops = in.object("pops");
  pops.only_keys({"least_count", "sign"});
  out.pops_least_count = read_sourced(pops, "least_count", kCount);
  out.pops = read_sign(pops.object("sign"));
  JsonReader strings = in.object("strings");
  strings.only_keys({"sign"});
  out.strings = read_sign(strings.object("sign"));
  out.together_h = read_sourced(in, "together_h", kHours);
  return out;
}

}  // namespace

Result<EvidenceRules> load_evidence_rules(const std::vector<RuleText>& overlay) {
  Json merged;
  std::string name;
  for (const RuleText& file : rule_texts("evidence.json", overlay)) {
    const Result<Json> json = parse_json(file.text, file.name);
    if (!json) return json.error();
    merged.merge_patch(*json);
    name = file.name;
  }
  JsonErrors errors{name, {}};
  JsonReader in(merged, errors);
  EvidenceRules out = read_rules(in);
  if (errors.first) return *errors.first;
  out.text = merged.dump();
  return out;
}

}  // namespace drydepth
