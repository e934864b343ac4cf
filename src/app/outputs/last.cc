#include "app/outputs/last.h"

#include "app/request/folders.h"
#include "base/exit_code.h"
#include "base/files.h"

namespace drydepth {

Result<Done> keep_said(const Said& said, const Caller& caller) {
  const std::filesystem::path folder = state_folder(caller);
  std::error_code ignored;  // writing says why it failed
  std::filesystem::create_directories(folder, ignored);
  const auto text = write_whole_file(folder / "last.txt", said.text);
  if (!text) return text;
  return write_whole_file(folder / "last.json", said.json);
}

Result<Said> read_said(const Caller& caller) {
  const std::filesystem::path folder = state_folder(caller);
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

}  // namespace drydepth
