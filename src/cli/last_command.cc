#include <memory>

#include "app/outputs/last.h"
#include "base/exit_code.h"
#include "cli/commands.h"
#include "cli/print.h"

namespace drydepth {

CommandRun last_command(Command& app, const World& world) {
  auto json = std::make_shared<bool>(false);
  app.add_flag("--json", *json, "Print it as JSON");
  return [json, &world] {
    const auto said = read_said(world.caller);
    if (!said) return complain(world, said.error());
    print(world, *json ? said->json : said->text,
          *json ? Bold::kNothing : Bold::kHeadings);
    return 0;
  };
}

}  // namespace drydepth
