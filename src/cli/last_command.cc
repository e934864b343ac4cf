#include <CLI/CLI.hpp>
#include <memory>

#include "base/exit_code.h"
#include "base/files.h"
#include "cli/commands.h"
#include "cli/last.h"
#include "cli/places.h"
#include "cli/settings.h"
#include "sheet/emphasis.h"

namespace drydepth {

Result<Done> keep_said(const Said& said, const World& world) {
  const std::filesystem::path folder = state_folder(world);
  std::error_code ignored;  // writing says why it failed
  std::filesystem::create_directories(folder, ignored);
  const auto text = write_whole_file(folder / "last.txt", said.text);
  if (!text) return text;
  return write_whole_file(folder / "last.json", said.json);
}

Result<Said> read_said(const World& world) {
  const std::filesystem::path folder = state_folder(world);
  std::error_code ignored;
  if (!std::filesystem::exists(folder / "last.json", ignored)) {
    return Error{"last", "no report is kept yet", "run drydepth guard JOB first",
                 kExitNoInput};
  }
  auto text = read_whole_file(folder / "last.txt");
  if (!text) return text.error();
  auto json = read_whole_file(folder / "last.json");
  if (!json) return json.error();
  return Said{*std::move(text), *std::move(json)};
}

CommandRun last_command(CLI::App& app, const World& world) {
  auto json = std::make_shared<bool>(false);
  app.add_flag("--json", *json, "Print it as JSON");
  return [json, &world] {
    const auto said = read_said(world);
    if (!said) return complain(world, said.error());
    world.out << (*json        ? said->json
                  : world.bold ? emphasised(said->text)
                               : said->text);
    return 0;
  };
}

}  // namespace drydepth
