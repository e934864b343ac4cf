#include <cstdio>
#include <string>

#include "base/json_text.h"
#include "base/json_value.h"
#include "gcode/container/container.h"
#include "gcode/edit/rewrite.h"
#include "gcode/read/scan.h"
#include "rules/firmware.h"

// What the reader makes of a job, for comparison with readers written apart from it:
//   dump_job text FILE     the job as text, whatever it lies in
//   dump_job trace FILE    lengths and layers, JSON
//   dump_job edit FILE     puts a block behind the header, in place
//   dump_job edit-binary FILE   the same, binary G-code too

using namespace drydepth;

namespace {

int complain(const Error& error) {
  std::fputs((error.text() + "\n").c_str(), stderr);
  return error.exit_code;
}

int dump_text(const OpenJob& job) {
  const auto read = job.text.read([](std::string_view piece) {
    return std::fwrite(piece.data(), 1, piece.size(), stdout) == piece.size();
  });
  return read ? 0 : complain(read.error());
}

Json trace_json(const Trace& trace) {
  Json tools = Json::array();
  for (const ToolTrace& tool : trace.tools) {
    tools.push_back({{"tool", tool.tool},
                     {"length_mm", tool.length_mm},
                     {"net_mm", tool.net_mm},
                     {"loads", tool.loads}});
  }
  Json layers = Json::array();
  for (const LayerMark& layer : trace.layers) {
    layers.push_back({{"line", layer.line}, {"z_mm", layer.z_mm}});
  }
  return {{"firmware", trace.firmware},
          {"slicer", trace.slicer},
          {"diameter_mm", trace.filament_diameter_mm},
          {"duration_s", trace.duration_s},
          {"tools", tools},
          {"layers", layers}};
}

int edit(const char* path, const OpenJob& job, Trace trace, BinaryWriting binary) {
  keep_behind_front(job, trace);
  Edit note;
  note.offset = trace.header_offset;
  note.line = trace.header_line;
  note.action = "note";
  note.lines = {";a line of our own"};
  const auto written = write_job(
      path, job, [&](const ByteSink& sink) { return rewrite(job.text, {note}, sink); },
      binary);
  return written ? 0 : complain(written.error());
}

int run(const std::string& what, const char* path, std::optional<int> plate) {
  const auto job = open_job(path, plate);
  if (!job) return complain(job.error());
  if (what == "text") return dump_text(*job);
  ScanOptions options;
  auto dialects = load_firmwares();
  if (!dialects) return complain(dialects.error());
  options.dialects = *std::move(dialects);
  const auto trace = scan(job->text, options);
  if (!trace) return complain(trace.error());
  if (what == "edit") return edit(path, *job, *trace, BinaryWriting::kRefused);
  if (what == "edit-binary") return edit(path, *job, *trace, BinaryWriting::kTried);
  std::fputs(pretty_json(trace_json(*trace)).c_str(), stdout);
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) return 64;
  return run(argv[1], argv[2],
             argc > 3 ? std::optional(std::stoi(argv[3])) : std::nullopt);
}
