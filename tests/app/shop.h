#pragma once

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "app/request/caller.h"
#include "app/request/settings.h"
#include "base/files.h"

namespace drydepth {

/// A folder of its own with a shelf, rules and jobs in it, gone with the test; and a
/// caller at half past six of the invented scenario.
class Shop {
 public:
  Shop() {
    std::string name = (std::filesystem::temp_directory_path() / "drydepth-XXXXXX");
    REQUIRE(::mkdtemp(name.data()) != nullptr);
    folder_ = name;
    std::filesystem::create_directories(shelf());
    caller.version = "0.1.0";
    caller.now = *parse_instant("2026-03-06T06:30:00Z");
    caller.zone = utc_zone();
    caller.environment = {{"HOME", folder_.string()}};
  }
  Shop(const Shop&) = delete;
  Shop& operator=(const Shop&) = delete;
  ~Shop() { std::filesystem::remove_all(folder_); }

  std::filesystem::path shelf() const { return folder_ / "shelf"; }
  std::filesystem::path rules() const { return folder_ / "rules"; }

  /// Writes a file below the folder; its path.
  std::string put(const std::string& name, const std::string& text) const {
    const std::filesystem::path file = folder_ / name;
    std::filesystem::create_directories(file.parent_path());
    std::ofstream(file, std::ios::binary) << text;
    return file.string();
  }
  std::string text_of(const std::filesystem::path& file) const {
    const auto text = read_whole_file(file);
    REQUIRE(text);
    return *text;
  }

  /// The words that every request here has in common.
  SharedWords shared() const {
    SharedWords out;
    out.shelf = shelf().string();
    out.members = 32;
    out.threads = 2;
    if (std::filesystem::exists(rules())) out.rules = rules().string();
    return out;
  }

  Caller caller;

 private:
  std::filesystem::path folder_;
};

/// The record of an invented spool: 978 g of pa6, twelve hours at 82 C, weighed before
/// and after.
inline std::string spool_text(const std::string& id, const std::string& body = "pc",
                              const std::string& events = "") {
  return R"({"format": "drydepth-spool/1", "id": ")" + id + R"(", "material": "pa6",
  "filament": {"diameter_mm": 1.75},
  "winding": {"hub_diameter_mm": 80, "width_mm": 55, "outer_diameter_mm": 185,
              "full_net_g": 978},
  "body": {"kind": ")" +
         body + R"(", "tare_g": 214, "tare_sd_g": 3},
  "opened": {"at": "2026-03-05T17:00:00Z", "temperature_c": 23,
             "moisture_percent": 2.8, "moisture_sd_percent": 0.6},
  "events": [
    {"type": "weighing", "at": "2026-03-05T17:30:00Z", "gross_g": 1219.0, "scale_sd_g": 0.1},
    {"type": "drying", "from": "2026-03-05T18:00:00Z", "to": "2026-03-06T06:00:00Z",
     "air": {"temperature_c": 82, "room": {"temperature_c": 23, "rh_percent": 40}}},
    {"type": "weighing", "at": "2026-03-06T06:05:00Z", "gross_g": 1205.0, "scale_sd_g": 0.1})" +
         events + "]}\n";
}

}  // namespace drydepth
