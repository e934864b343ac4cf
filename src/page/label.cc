#include "page/label.h"

#include <algorithm>

#include "base/digests.h"
#include "base/json_value.h"
#include "base/numbers.h"
#include "base/wrap.h"
#include "report/words.h"

namespace drydepth {
namespace {

constexpr std::size_t kDigestDigits = 16;

// An id may hold anything that JSON does.
std::string one_line(std::string text) {
  std::replace_if(
      text.begin(), text.end(), [](char c) { return (c >= 0 && c < ' ') || c == 0x7F; },
      ' ');
  return text;
}

// Short, since a label has some 35 columns: the outer grams that are below the limit.
std::string depth_line(const Report& report, const SpoolReport& spool,
                       const Percentiles& kg) {
  std::string out = "below " + percent_text(spool.of.limits[report.decides]) + " (" +
                    std::string(limit_name(report.decides)) + "): ";
  out += kg.p50 > 0 ? "outer " + grams_text(kg.p50) : "no wrap";
  if (report.nominal) return out;
  return out + " (p10-p90 " + format_fixed(kg.p10 * 1000.0, 0) + "-" +
         format_fixed(kg.p90 * 1000.0, 0) + " g)";
}

std::string validity(const Report& report, const SpoolReport& spool,
                     const AirSpec& room, const LocalZone& zone) {
  const auto until = valid_until(report, spool);
  return (until ? "valid until " + moment_text(*until, zone)
                : "valid for " + format_fixed(kLookAheadS / 86400.0, 0) +
                      " days and more") +
         " in " + air_text(room);
}

}  // namespace

Label make_label(const Report& report, const AirSpec& room, const LocalZone& zone) {
  const SpoolReport& spool = report.spools.front();
  const Percentiles& depth = spool.now.depth_kg[report.decides];
  Label out{.id = one_line(spool.of.record.id),
            .lines = {spool.of.material.name + " (" + spool.of.material.id +
                          "), body " + spool.of.body.kind + ", " +
                          grams_text(spool.now.remaining_kg) + " left",
                      "estimate of " + moment_text(report.at, zone)},
            .record = sha256_hex(spool.of.record.text).substr(0, kDigestDigits),
            .payload = {}};
  if (spool.told) {
    out.lines.push_back(depth_line(report, spool, depth));
    if (depth.p50 > 0) out.lines.push_back(validity(report, spool, room, zone));
    out.lines.push_back("mean " + percent_range_text(report, spool.now.mean));
  } else {
    out.lines.push_back("moisture: the record says too little to tell");
  }
  out.lines.push_back(clocks_text(spool));
  out.lines.push_back("record " + out.record);
  out.payload = out.id + " sha256:" + out.record;
  return out;
}

std::string label_text(const Label& label, std::size_t columns) {
  std::string out;
  for (const std::string& line : narrow_lines(label.id, columns)) out += line + "\n";
  for (const std::string& sentence : label.lines) {
    for (const std::string& line : narrow_lines(sentence, columns)) out += line + "\n";
  }
  return out;
}

Json label_json(const Label& label) {
  return {{"format", "drydepth-label/1"},
          {"id", label.id},
          {"lines", label.lines},
          {"record_sha256_start", label.record},
          {"code", label.payload}};
}

}  // namespace drydepth
