#include "gcode/container/project.h"

#include <zip.h>

#include <algorithm>
#include <cctype>
#include <memory>
#include <utility>

#include "base/digests.h"
#include "base/exit_code.h"

namespace drydepth {
namespace {

struct CloseZip {
  void operator()(zip_t* zip) const { zip_discard(zip); }
};
struct CloseEntry {
  void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};
using Zip = std::unique_ptr<zip_t, CloseZip>;
using Entry = std::unique_ptr<zip_file_t, CloseEntry>;

Error broken(const std::string& name, const std::string& why) {
  return {name, "the packed project cannot be read (" + why + ")",
          "export it again, or give the .gcode file that lies inside it"};
}

Result<Zip> open_zip(const std::filesystem::path& path) {
  int code = 0;
  Zip zip(zip_open(path.c_str(), ZIP_RDONLY, &code));
  if (zip) return Result<Zip>(std::move(zip));
  zip_error_t error;
  zip_error_init_with_code(&error, code);
  Error out = broken(path.string(), zip_error_strerror(&error));
  zip_error_fini(&error);
  if (code == ZIP_ER_OPEN || code == ZIP_ER_NOENT) out.exit_code = kExitNoInput;
  return out;
}

/// The number in "Metadata/plate_<n>.gcode"; 0 for another name.
int plate_number(std::string_view name) {
  constexpr std::string_view kBefore = "Metadata/plate_";
  constexpr std::string_view kBehind = ".gcode";
  if (!name.starts_with(kBefore) || !name.ends_with(kBehind)) return 0;
  name.remove_prefix(kBefore.size());
  name.remove_suffix(std::min(kBehind.size(), name.size()));
  if (name.empty() || name.size() > 4) return 0;
  int number = 0;
  for (const char c : name) {
    if (c < '0' || c > '9') return 0;
    number = number * 10 + (c - '0');
  }
  return number;
}

Result<Done> read_entry(const std::filesystem::path& path, const std::string& name,
                        const ByteSink& sink) {
  auto zip = open_zip(path);
  if (!zip) return zip.error();
  const Entry entry(zip_fopen(zip->get(), name.c_str(), 0));
  if (!entry) return broken(path.string(), zip_strerror(zip->get()));
  std::string piece(kFilePieceBytes, '\0');
  for (;;) {
    const auto got = zip_fread(entry.get(), piece.data(), piece.size());
    if (got < 0) return broken(path.string(), name + ": the data is damaged");
    if (got == 0) return Done{};
    if (!sink(std::string_view(piece).substr(0, static_cast<std::size_t>(got)))) {
      return Done{};
    }
  }
}

/// Puts bytes, which must outlive the zip's closing, in place of an entry's. The time
/// of the entry stays, so that the same edit gives the same file.
bool replace(zip_t* zip, const std::string& name, std::string_view bytes) {
  const auto index = zip_name_locate(zip, name.c_str(), 0);
  zip_stat_t before;
  if (index < 0) return false;
  const auto at = static_cast<zip_uint64_t>(index);
  if (zip_stat_index(zip, at, 0, &before) != 0) return false;
  zip_source_t* source = zip_source_buffer(zip, bytes.data(), bytes.size(), 0);
  if (source == nullptr) return false;
  if (zip_file_replace(zip, at, source, 0) != 0) {
    zip_source_free(source);
    return false;
  }
  return zip_file_set_mtime(zip, at, before.mtime, 0) == 0;
}

struct FreeSource {
  void operator()(zip_source_t* source) const { zip_source_free(source); }
};
using Source = std::unique_ptr<zip_source_t, FreeSource>;

std::string all_of(zip_source_t* source) {
  zip_stat_t stat;
  zip_stat_init(&stat);
  if (zip_source_stat(source, &stat) != 0 || zip_source_open(source) != 0) return {};
  std::string bytes(stat.size, '\0');
  const auto got = zip_source_read(source, bytes.data(), bytes.size());
  zip_source_close(source);
  return got == static_cast<zip_int64_t>(bytes.size()) ? bytes : std::string();
}

/// The digest as the old one was written: in capitals unless it has small letters.
std::string digest_like(std::string_view old, std::string_view job) {
  std::string digest = md5_hex(job);
  const bool small =
      std::any_of(old.begin(), old.end(), [](char c) { return c >= 'a' && c <= 'f'; });
  if (small) return digest;
  std::transform(digest.begin(), digest.end(), digest.begin(), [](char c) {
    return c >= 'a' ? static_cast<char>(c - 'a' + 'A') : c;
  });
  return digest;
}

/// The zip file in `packed` with entries replaced; empty where the library fails.
std::string repacked(const std::string& packed, const std::string& entry,
                     std::string_view job, std::string_view digest) {
  zip_error_t error;
  zip_error_init(&error);
  const Source source(
      zip_source_buffer_create(packed.data(), packed.size(), 0, &error));
  if (!source) return {};
  zip_source_keep(source.get());
  Zip zip(zip_open_from_source(source.get(), 0, &error));
  zip_error_fini(&error);
  if (!zip) {
    zip_source_free(source.get());  // the reference it would have taken over
    return {};
  }
  if (!replace(zip.get(), entry, job)) return {};
  if (!digest.empty() && !replace(zip.get(), entry + ".md5", digest)) return {};
  if (zip_close(zip.get()) != 0) return {};
  zip.release();
  return all_of(source.get());
}

}  // namespace

Result<std::vector<Plate>> list_plates(const std::filesystem::path& path) {
  auto zip = open_zip(path);
  if (!zip) return zip.error();
  std::vector<Plate> plates;
  const auto count = zip_get_num_entries(zip->get(), 0);
  for (zip_int64_t i = 0; i < count; ++i) {
    const char* name = zip_get_name(zip->get(), static_cast<zip_uint64_t>(i), 0);
    const int number = name == nullptr ? 0 : plate_number(name);
    if (number > 0) plates.push_back({number, name});
  }
  std::sort(plates.begin(), plates.end(),
            [](const Plate& a, const Plate& b) { return a.number < b.number; });
  return plates;
}

ByteSource plate_source(const std::filesystem::path& path, const std::string& entry) {
  return {path.string() + ":" + entry, [path, entry](const ByteSink& sink) {
            return read_entry(path, entry, sink);
          }};
}

Result<Done> write_plate(const std::filesystem::path& path, const std::string& entry,
                         std::string_view job) {
  auto file = AtomicFile::open(path);
  if (!file) return file.error();
  const auto packed = read_whole_file(path);
  if (!packed) return packed.error();
  std::string old;
  const auto digest_read =
      read_entry(path, entry + ".md5", [&old](std::string_view piece) {
        old.append(piece.substr(0, 64));
        return true;
      });
  const std::string digest = digest_read ? digest_like(old, job) : std::string();
  const std::string out = repacked(*packed, entry, job, digest);
  if (out.empty()) return broken(path.string(), "it cannot be packed anew");
  const auto written = file->write(out);
  if (!written) return written.error();
  return file->commit();
}

}  // namespace drydepth
