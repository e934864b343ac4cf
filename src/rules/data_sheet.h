#pragma once

#include <string>
#include <vector>

#include "rules/bodies.h"
#include "rules/evidence_rules.h"
#include "rules/materials.h"

namespace drydepth {

/// A number of a rule file as a line of its data sheet.
struct SheetLine {
  std::string name;
  std::string unit;
  Sourced number{};
};

/// All numbers of a material, a body or the evidence, in the order of its file.
std::vector<SheetLine> sheet_lines(const Material& material);
std::vector<SheetLine> sheet_lines(const Body& body);
std::vector<SheetLine> sheet_lines(const EvidenceRules& rules);

/// The spread of a number as people read it: "+- 0.05", "x/ 1.22", or "-".
std::string spread_text(const Sourced& number);

}  // namespace drydepth
