#include "app/shelf/load_spool.h"

#include "record/shelf.h"

namespace drydepth {

Result<Spool> load_spool(const std::string& word, const Settings& settings,
                         const Rules& rules) {
  const auto path = find_spool(settings.shelf, word);
  if (!path) return path.error();
  auto read = load_record(*path);
  if (!read) return read.error();
  return lay_out_from(*std::move(read), *path, settings, rules);
}

Result<Spool> lay_out_from(SpoolRecord read, const std::filesystem::path& path,
                           const Settings& settings, const Rules& rules) {
  auto record = read_air_logs(std::move(read), path);
  if (!record) return record.error();
  auto spool = lay_out(*std::move(record), rules, settings.around());
  if (spool) spool->path = path;
  return spool;
}

}  // namespace drydepth
