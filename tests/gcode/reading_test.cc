#include "gcode/read/reading.h"

#include <catch2/catch.hpp>

#include "base/numbers.h"
#include "gcode/job.h"

using namespace drydepth;

namespace {

/// Forty printing moves of 0.5 and 0.7 mm of filament, 24 mm in all.
std::string moves(bool relative) {
  std::string job = "G90\n";
  double e = 0;
  for (int i = 0; i < 40; ++i) {
    const double step = i % 2 == 0 ? 0.5 : 0.7;
    e += step;
    job += "G1 X" + std::to_string(i % 7) + " E" +
           format_fixed(relative ? step : e, 5) + " F600\n";
  }
  return job;
}

double length_of(const std::string& job, const ScanOptions& options) {
  const auto trace = test::scan_text(job, options);
  return trace && trace->tools.size() == 1 ? trace->tools.front().length_mm : -1;
}

}  // namespace

TEST_CASE("relative E that nothing states is recognised") {
  const auto trace = test::scan_text(moves(true), test::options("marlin"));
  REQUIRE(trace);
  CHECK(trace->tools.front().length_mm == Approx(24));
  CHECK(trace->notes ==
        std::vector<std::string>{
            "the job says neither M82 nor M83, and read as absolute its E would mostly "
            "stand still or fall: it was read as relative; give the E mode if that is "
            "wrong"});
}

TEST_CASE("the E mode comes from the job, the option, the settings, or a guess") {
  auto forced_absolute = test::options();
  forced_absolute.e_mode = EMode::kAbsolute;
  auto forced_relative = test::options();
  forced_relative.e_mode = EMode::kRelative;
  const struct {
    const char* label;
    std::string job;
    ScanOptions options;
    double length_mm;
  } rows[] = {
      {"absolute, unstated", moves(false), test::options(), 24},
      {"relative, unstated", moves(true), test::options(), 24},
      {"M82 stated: no guess", "M82\n" + moves(true), test::options(), 0.7},
      {"M83 stated", "M83\n" + moves(true), test::options(), 24},
      {"settings say relative", "; use_relative_e_distances = 1\n" + moves(true),
       test::options(), 24},
      {"settings say absolute: no guess",
       moves(true) + "; use_relative_e_distances = 0\n", test::options(), 0.7},
      {"option absolute: no guess", moves(true), forced_absolute, 0.7},
      {"option relative", moves(true), forced_relative, 24},
      {"the job's own M83 still counts", "M83\n" + moves(true), forced_absolute, 24},
      {"resets at each move are absolute",
       "G1 X1 E1 F60\nG92 E0\nG1 X2 E1\nG92 E0\n"
       "G1 X3 E1\nG92 E0\nG1 X1 E1\nG92 E0\nG1 X2 E1\nG92 E0\nG1 X3 E1\nG92 E0\n"
       "G1 X1 E1\nG92 E0\nG1 X2 E1\nG92 E0\nG1 X3 E1\n",
       test::options(), 9},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(length_of(row.job, row.options) == Approx(row.length_mm));
  }
}

TEST_CASE("volumes are told by settings, or by the stated length") {
  const std::string job = "M83\nG1 X1 E240.52818754 F60\n";  // mm3; 100 mm of 1.75
  const struct {
    const char* label;
    std::string footer;
    double length_mm;
  } rows[] = {
      {"nothing said", "", 240.52818754},
      {"setting", "; use_volumetric_e = 1\n; filament_diameter = 1.75\n", 100},
      {"setting off wins over the fit",
       "; use_volumetric_e = 0\n; filament_diameter = 1.75\n"
       "; filament used [mm] = 100.00\n",
       240.52818754},
      {"fit", "; filament_diameter = 1.75\n; filament used [mm] = 100.00\n", 100},
      {"no fit", "; filament_diameter = 1.75\n; filament used [mm] = 101.00\n",
       240.52818754},
      {"other filament", "; use_volumetric_e = 1\n; filament_diameter = 2.85\n",
       240.52818754 / 6.37939658},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(length_of(job + row.footer, test::options()) == Approx(row.length_mm));
  }
  const auto fitted = test::scan_text(job + rows[3].footer, test::options());
  REQUIRE(fitted);
  CHECK(fitted->notes ==
        std::vector<std::string>{"E was taken for a volume in mm3, since "
                                 "the stated length fits only so"});
}

TEST_CASE("a difference from the stated length is explained where it can be") {
  const std::string layer = ";LAYER_CHANGE\n";
  const struct {
    const char* label;
    std::string job;
    const char* note;
  } rows[] = {
      {"agrees", "M82\nG1 X1 E50 F60\n; filament used [mm] = 50.04\n", ""},
      {"agrees to the printed digit", "M82\nG1 X1 E50.4 F60\n;Filament used: 0.1m\n",
       ""},
      {"differs", "M82\nG1 X1 E50.4 F60\n;Filament used: 0.1234m\n",
       "measured 50.40 mm against 123.40 mm stated: the reason is not known"},
      {"flow factor", "M82\nM221 S95\nG1 X1 E50 F60\n; filament used [mm] = 50.00\n",
       "measured 47.50 mm against 50.00 mm stated: the slicer leaves out the flow "
       "factor "
       "M221, the printer does not"},
      {"start purge",
       "M82\nG1 X1 E30 F60\n" + layer + "G1 X2 E80\n; filament used [mm] = 50.00\n",
       "measured 80.00 mm against 50.00 mm stated: the slicer leaves out the 30.00 mm "
       "extruded before the first layer"},
      {"net", "M82\nG1 X1 E50 F60\nG1 E48\n;    Ext #1  =   48.00 mm  (0.1 cm^3)\n",
       "measured 50.00 mm against 48.00 mm stated: this slicer takes the last "
       "retraction "
       "off"},
      {"relative rounding",
       "M83\nG1 X1 E300 F60\nG1 X2 E300\n"
       "; --- filament used: 600.4 mm ---\n",
       "measured 600.00 mm against 600.40 mm stated: each relative E word is rounded"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const auto trace = test::scan_text(row.job, test::options("marlin"));
    REQUIRE(trace);
    CHECK(trace->tools.front().stated_note == row.note);
  }
}
