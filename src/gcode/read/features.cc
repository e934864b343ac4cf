#include "gcode/read/features.h"

#include <array>
#include <string>

namespace drydepth {
namespace {

struct FeatureWord {
  std::string_view part;  // of the name, in lower case
  Feature feature;
};

// The first that the name holds decides: a bridge is one whatever else it is, and solid
// filling inside is no place to hide a blob.
constexpr std::array kWords = {
    FeatureWord{"bridge", kBridge},   FeatureWord{"overhang", kBridge},
    FeatureWord{"tower", kTower},     FeatureWord{"pillar", kTower},
    FeatureWord{"support", kSupport}, FeatureWord{"top", kTop},
    FeatureWord{"ironing", kTop},     FeatureWord{"skin", kTop},
    FeatureWord{"solid", kWall},      FeatureWord{"gap", kWall},
    FeatureWord{"fill", kInfill},
};

constexpr std::array<std::string_view, 4> kBefore = {"TYPE:", " FEATURE: ", " feature ",
                                                     "FEATURE:"};

}  // namespace

std::optional<Feature> read_feature(std::string_view text) {
  for (const std::string_view before : kBefore) {
    if (!text.starts_with(before)) continue;
    std::string name(text.substr(before.size()));
    for (char& c : name) {
      if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    for (const FeatureWord& word : kWords) {
      if (name.find(word.part) != name.npos) return word.feature;
    }
    return kWall;
  }
  return std::nullopt;
}

}  // namespace drydepth
