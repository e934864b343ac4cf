#include "rules/rules.h"

#include "rules/firmware.h"

namespace drydepth {

Result<Rules> load_rules(const std::filesystem::path& folder) {
  std::vector<RuleText> overlay;
  if (!folder.empty()) {
    auto read = read_overlay(folder);
    if (!read) return read.error();
    overlay = *std::move(read);
  }
  auto materials = load_materials(overlay);
  if (!materials) return materials.error();
  auto bodies = load_bodies(overlay);
  if (!bodies) return bodies.error();
  auto dialects = load_firmwares(overlay);
  if (!dialects) return dialects.error();
  auto evidence = load_evidence_rules(overlay);
  if (!evidence) return evidence.error();
  auto policy = load_policy(overlay);
  if (!policy) return policy.error();
  return Rules{*std::move(materials), *std::move(bodies), *std::move(dialects),
               *std::move(evidence), *std::move(policy)};
}

}  // namespace drydepth
