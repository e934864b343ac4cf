#include "rules/rule_check.h"

#include <algorithm>

#include "base/json_reader.h"
#include "base/json_value.h"
#include "rules/bodies.h"
#include "rules/evidence_rules.h"
#include "rules/firmware.h"
#include "rules/materials.h"
#include "rules/policy.h"

namespace drydepth {
namespace {

template <class T>
const T* read_from(const std::vector<T>& all, const std::string& id) {
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const T& t) { return t.id == id; });
  return found == all.end() ? nullptr : &*found;
}

}  // namespace

Result<std::string> check_rule_file(const RuleText& file) {
  const auto json = parse_json(file.text, file.name);
  if (!json) return json.error();
  JsonErrors errors{file.name, {}};
  JsonReader in(*json, errors);
  const std::string format = in.choice(
      "format", {"drydepth-material/1", "drydepth-body/1", "drydepth-firmware/1",
                 "drydepth-policy/1", "drydepth-evidence/1"});
  if (format == "drydepth-evidence/1" && !errors.first) {
    const auto all = load_evidence_rules({{"evidence.json", file.name, file.text}});
    if (!all) return all.error();
    return std::string("strength of tests of the outer wraps");
  }
  std::string id;
  if (format == "drydepth-policy/1") {
    const auto policy = load_policy({{"policy.json", file.name, file.text}});
    if (!policy) return policy.error();
    return std::string("policy of actions");
  }
  if (format != "drydepth-body/1") id = in.text("id", "the id of the rule", "pa6");
  if (errors.first) return *errors.first;
  if (format == "drydepth-material/1") {
    const auto all = load_materials({{"materials/checked.json", file.name, file.text}});
    if (!all) return all.error();
    return "material " + id + " (" + read_from(*all, id)->name + ")";
  }
  if (format == "drydepth-firmware/1") {
    const auto all = load_firmwares({{"firmware/checked.json", file.name, file.text}});
    if (!all) return all.error();
    return "firmware " + id;
  }
  const auto all = load_bodies({{"bodies.json", file.name, file.text}});
  if (!all) return all.error();
  return std::to_string(in.objects("bodies").size()) + " kinds of spool bodies";
}

}  // namespace drydepth
