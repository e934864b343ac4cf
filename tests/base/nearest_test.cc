#include "base/nearest.h"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

namespace drydepth {
namespace {

const std::vector<std::string> kMaterials = {"abs", "pa12", "pa6", "pa6-cf", "petg"};
const std::vector<std::string> kEvents = {"weighing", "drying", "storage", "print"};
const std::vector<std::string> kKeys = {"temperature_c", "rh_percent"};

TEST_CASE("nearest word") {
  struct Row {
    std::string word;
    std::vector<std::string> known;
    std::optional<std::string> nearest;
  };
  const Row rows[] = {
      {"pa-6", kMaterials, "pa6"},  // punctuation counts for nothing
      {"PA6", kMaterials, "pa6"},   // nor does case
      {"pa6cf", kMaterials, "pa6-cf"},
      {"pteg", kMaterials, "petg"},  // neighbours swapped
      {"peek", kMaterials, std::nullopt},
      {"weihging", kEvents, "weighing"},
      {"weight", kEvents, std::nullopt},  // half of it is something else
      {"dry", kEvents, "drying"},         // the start of one
      {"x", kEvents, std::nullopt},
      {"", kEvents, std::nullopt},
      {"temperature", kKeys, "temperature_c"},
      {"pa6", {}, std::nullopt},
  };
  for (const Row& row : rows) {
    INFO(row.word);
    CHECK(nearest_word(row.word, row.known) == row.nearest);
  }
}

TEST_CASE("hint for an unknown word") {
  CHECK(did_you_mean("pa-6", kMaterials) ==
        "did you mean pa6? Known: abs, pa12, pa6, pa6-cf, petg");
  CHECK(did_you_mean("wood", kMaterials) == "known: abs, pa12, pa6, pa6-cf, petg");
  CHECK(did_you_mean("pa6", {}) == "none is known yet");
}

TEST_CASE("a word of any length is only compared") {
  CHECK_FALSE(nearest_word(std::string(100000, 'a'), kEvents));
}

}  // namespace
}  // namespace drydepth
