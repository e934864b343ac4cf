// Draws the figures of docs/model.md, one SVG file each.
//   model_figures OUTDIR

#include <iostream>

#include "base/files.h"
#include "reference/model_figures.h"

int main(int argc, char** argv) {
  using namespace drydepth;
  if (argc != 2) {
    std::cerr << "model_figures: give the folder to write to: model_figures OUTDIR\n";
    return 64;
  }
  const std::filesystem::path folder(argv[1]);
  for (const figures::Figure& figure : figures::all_figures()) {
    const auto written =
        write_whole_file(folder / (figure.name + ".svg"), chart_svg(figure.chart));
    if (!written) {
      std::cerr << "model_figures: " << written.error().text() << "\n";
      return written.error().exit_code;
    }
  }
  return 0;
}
