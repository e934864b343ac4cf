#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// A coordinate in pixels: two decimals at most, no trailing zeros.
std::string pixels(double value);

/// A colour of the map that figures take theirs from, "#rrggbb": cividis, from dark
/// blue at 0 over grey to yellow at 1, even in lightness for people with and without
/// colour vision (Nunez, Anderton, Renslow 2018, PLoS ONE 13(7): e0199239).
std::string map_colour(double share);

enum class Anchor { kStart, kMiddle, kEnd };

/// A place on the drawing, pixels from the top left corner.
struct Spot {
  double x = 0, y = 0;
};

/// One element each, with a line end. Classes carry the look.
std::string svg_line(std::string_view css, Spot from, Spot to);
std::string svg_text(std::string_view css, Spot at, Anchor anchor,
                     std::string_view text);
/// Straight pieces through the spots; a closed one is an area.
std::string svg_path(std::string_view css, const std::vector<Spot>& spots, bool closed);
std::string svg_box(std::string_view css, Spot corner, double width, double height);

/// Width of a text in a sans-serif of 12 pixels, on the wide side. Limit: goes by
/// classes of characters, knows no font.
double text_width(std::string_view text);

}  // namespace drydepth
