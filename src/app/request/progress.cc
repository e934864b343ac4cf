#include "app/request/progress.h"

namespace drydepth {

void tell(const Progress& progress, std::string phase,
          std::shared_ptr<const Tally> tally) {
  if (progress) progress(std::move(phase), std::move(tally));
}

ByteSource tallied(const OpenJob& job, const std::filesystem::path& file,
                   Tally& tally) {
  std::error_code failed;
  const auto size = std::filesystem::file_size(file, failed);
  if (!failed && job.container == Container::kText) tally.total = size;
  return {job.text.name, [read = job.text.read, &tally](const ByteSink& sink) {
            tally.done = 0;
            return read([&](std::string_view piece) {
              count(&tally, piece.size());
              return sink(piece);
            });
          }};
}

}  // namespace drydepth
