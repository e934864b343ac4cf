#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "page/label.h"

namespace drydepth {

/// Of the stock that it is printed on.
struct LabelSize {
  double width_mm = 60, height_mm = 30;
};

/// "60x30mm", "60x30" (millimetres), "A7" or "A8" (ISO 216, upright). Error (exit 64)
/// for anything else, and for a side below 15 mm or above 300 mm.
Result<LabelSize> read_label_size(const std::string& word);

/// The label in black on white, in millimetres: text beside the code where the label
/// lies, above it where it stands. Letters are as large as fit, 1.8 mm at least; a
/// module of the code is a whole number of eighths of a millimetre (the dots of a
/// printer of 203 dpi), three at least. Error (exit 64) naming the least size of that
/// shape where the two do not fit.
Result<std::string> label_svg(const Label& label, LabelSize size);

}  // namespace drydepth
