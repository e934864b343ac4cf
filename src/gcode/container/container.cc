#include "gcode/container/container.h"

#include <utility>
#include <vector>

#include "base/exit_code.h"
#include "gcode/container/binary.h"
#include "gcode/container/inflate.h"
#include "gcode/container/project.h"

namespace drydepth {
namespace {

using Unpack = Result<Done> (*)(const ByteSource&, const ByteSink&);

ByteSource unpacked(ByteSource packed, Unpack unpack) {
  std::string name = packed.name;
  return {std::move(name), [packed = std::move(packed), unpack](const ByteSink& sink) {
            return unpack(packed, sink);
          }};
}

Result<std::string> first_bytes(const ByteSource& file) {
  std::string head;
  const auto read = file.read([&head](std::string_view piece) {
    head.append(piece.substr(0, 4 - head.size()));
    return head.size() < 4;
  });
  if (!read) return read.error();
  return head;
}

std::string numbers_of(const std::vector<Plate>& plates) {
  std::string out;
  for (const Plate& plate : plates) {
    out += (out.empty() ? "" : ", ") + std::to_string(plate.number);
  }
  return out;
}

Result<OpenJob> open_project(const std::filesystem::path& path,
                             std::optional<int> number) {
  const auto plates = list_plates(path);
  if (!plates) return plates.error();
  if (plates->empty()) {
    return Error{path.string(), "the packed project holds no sliced job",
                 "slice it and export the plate with its G-code"};
  }
  if (!number && plates->size() > 1) {
    return Error{path.string(), "the packed project holds the jobs of several plates",
                 "say which: " + numbers_of(*plates), kExitUsage};
  }
  for (const Plate& plate : *plates) {
    if (number && plate.number != *number) continue;
    return OpenJob{
        plate_source(path, plate.entry), Container::kProject, plate.entry, {}};
  }
  return Error{path.string(), "it holds no plate " + std::to_string(*number),
               "it holds: " + numbers_of(*plates), kExitUsage};
}

Result<Done> write_text(const std::filesystem::path& path, const TextMaker& text_of) {
  auto file = AtomicFile::open(path);
  if (!file) return file.error();
  std::optional<Error> failure;
  const auto made = text_of([&](std::string_view piece) {
    const auto written = file->write(piece);
    if (!written) failure = written.error();
    return written.has_value();
  });
  if (failure) return *failure;
  if (!made) return made.error();
  return file->commit();
}

Result<Done> write_project(const std::filesystem::path& path, const OpenJob& job,
                           const TextMaker& text_of) {
  std::string text;
  const auto made = text_of([&text](std::string_view piece) {
    text.append(piece);
    return true;
  });
  if (!made) return made.error();
  return write_plate(path, job.entry, text);
}

}  // namespace

Result<OpenJob> open_job(const std::filesystem::path& path, std::optional<int> plate) {
  ByteSource file = file_source(path);
  const auto head = first_bytes(file);
  if (!head) return head.error();
  if (*head == "PK\x03\x04") return open_project(path, plate);
  if (*head == "GCDE") {
    const auto front = front_of_binary(file);
    if (!front) return front.error();
    return OpenJob{unpacked(std::move(file), unpack_binary), Container::kBinary, "",
                   *front};
  }
  if (head->starts_with("\x1f\x8b")) {
    return OpenJob{unpacked(std::move(file), unpack_gzip), Container::kGzip, "", {}};
  }
  return OpenJob{std::move(file), Container::kText, "", {}};
}

void keep_behind_front(const OpenJob& job, Trace& trace) {
  if (trace.header_offset >= job.front.bytes) return;
  trace.header_offset = job.front.bytes;
  trace.header_line = job.front.lines + 1;
}

Result<Done> write_job(const std::filesystem::path& path, const OpenJob& job,
                       const TextMaker& text_of, BinaryWriting binary) {
  switch (job.container) {
    case Container::kGzip:
      return Error{path.string(), "a job packed with gzip is read but not written",
                   "unpack it, and give the .gcode file", kExitCannotCreate};
    case Container::kBinary:
      if (binary == BinaryWriting::kTried) {
        return write_text(path, [&](const ByteSink& sink) {
          return repack_binary(file_source(path), text_of, sink);
        });
      }
      return Error{path.string(), "binary G-code is read but not written",
                   "switch \"Use binary G-code\" off in the slicer's preferences and "
                   "printer settings, and slice again",
                   kExitCannotCreate};
    case Container::kProject:
      return write_project(path, job, text_of);
    case Container::kText:
      break;
  }
  return write_text(path, text_of);
}

}  // namespace drydepth
