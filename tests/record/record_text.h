#pragma once

#include <catch2/catch.hpp>
#include <string>

#include "base/files.h"
#include "record/record.h"

namespace drydepth {

/// An invented record of test data.
inline std::string k07_text() {
  const Result<std::string> text =
      read_whole_file(DRYDEPTH_TEST_DATA "/spools/K-07.json");
  REQUIRE(text.has_value());
  return *text;
}

/// A text with one piece of it replaced; the piece must be there.
inline std::string replaced(std::string text, const std::string& piece,
                            const std::string& by) {
  const std::size_t at = text.find(piece);
  INFO(piece);
  REQUIRE(at != std::string::npos);
  return text.replace(at, piece.size(), by);
}

/// A small record with these events, opened at 2026-03-02 08:00 UTC.
inline std::string record_text(
    const std::string& events,
    const std::string& opened = R"({"at": "2026-03-02T08:00:00Z"})") {
  return R"({"format": "drydepth-spool/1", "id": "T", "material": "pa6",
    "filament": {"diameter_mm": 1.75},
    "winding": {"hub_diameter_mm": 80, "width_mm": 55, "full_net_g": 978},
    "body": {"kind": "pc", "tare_g": 214, "tare_sd_g": 3},
    "opened": )" +
         opened + R"(, "events": [)" + events + "]}";
}

inline SpoolRecord read(const std::string& text) {
  Result<SpoolRecord> record = read_record(text, "T.json");
  if (!record) FAIL(record.error().text());
  return *std::move(record);
}

inline Instant utc(const std::string& text) {
  const Result<Instant> at = parse_instant(text);
  REQUIRE(at.has_value());
  return *at;
}

}  // namespace drydepth
