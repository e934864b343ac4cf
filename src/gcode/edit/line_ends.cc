#include "gcode/edit/line_ends.h"

#include <string>
#include <utility>

namespace drydepth {
namespace {

/// Keeps a CR back until the next byte says whether it ends a line.
class LineEndWriter {
 public:
  LineEndWriter(LineEnds ends, const ByteSink& out) : ends_(ends), out_(out) {}

  bool feed(std::string_view bytes) {
    text_.clear();
    for (const char c : bytes) {
      if (c == '\n') {
        text_ += ends_ == LineEnds::kLf ? "\n" : "\r\n";
      } else {
        if (held_) text_ += '\r';
        if (c != '\r') text_ += c;
      }
      held_ = c == '\r';
    }
    return out_(text_);
  }

  void finish() {
    if (held_) out_("\r");
  }

 private:
  LineEnds ends_;
  const ByteSink& out_;
  std::string text_;
  bool held_ = false;
};

}  // namespace

ByteSource with_line_ends(ByteSource job, LineEnds ends) {
  const std::string name = job.name;
  return {name, [job = std::move(job), ends](const ByteSink& out) -> Result<Done> {
            LineEndWriter writer(ends, out);
            const auto read = job.read(
                [&writer](std::string_view piece) { return writer.feed(piece); });
            if (read) writer.finish();
            return read;
          }};
}

Result<bool> differs_in_line_ends_only(const ByteSource& job, const JobDigest& then) {
  for (const LineEnds ends : {LineEnds::kLf, LineEnds::kCrLf}) {
    const auto digest = digest_job(with_line_ends(job, ends));
    if (!digest) return digest.error();
    if (*digest == then) return true;
  }
  return false;
}

}  // namespace drydepth
