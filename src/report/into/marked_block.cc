#include "report/into/marked_block.h"

#include <algorithm>
#include <optional>

#include "base/trimmed.h"

namespace drydepth {
namespace {

constexpr std::string_view kBegin = "<!-- drydepth:begin -->";
constexpr std::string_view kEnd = "<!-- drydepth:end -->";
constexpr std::string_view kHere = "<!-- drydepth:here -->";

// A marker as it stands in the text: [start, end) is its comment.
struct Marker {
  std::string_view word;
  std::size_t start = 0, end = 0;
};

// The word of a comment of ours; empty for any other.
std::string_view word_of(std::string_view comment) {
  constexpr std::string_view kLead = "drydepth:";
  const std::string_view inside = trimmed(comment.substr(4, comment.size() - 7));
  if (!inside.starts_with(kLead)) return {};
  const std::string_view word = inside.substr(kLead.size());
  return word == "begin" || word == "end" || word == "here" ? word : "";
}

std::optional<Marker> comment_at(std::string_view text, std::size_t start) {
  const std::size_t close = text.find("-->", start + 4);
  if (close == std::string_view::npos) return std::nullopt;
  const std::size_t end = close + 3;
  return Marker{word_of(text.substr(start, end - start)), start, end};
}

std::vector<Marker> html_markers(std::string_view text) {
  std::vector<Marker> out;
  std::size_t at = 0;
  while ((at = text.find("<!--", at)) != std::string_view::npos) {
    const auto comment = comment_at(text, at);
    if (!comment) break;
    if (!comment->word.empty()) out.push_back(*comment);
    at = comment->end;
  }
  return out;
}

// Opens and closes of fenced code, CommonMark 0.30 section 4.5: three or more of a
// kind, closed by at least as many.
class Fence {
 public:
  /// True where the line belongs to a fenced block, its fences too.
  bool holds(std::string_view line) {
    const std::size_t run =
        std::min(line.find_first_not_of(line.empty() ? ' ' : line[0]), line.size());
    const bool mark = !line.empty() && (line[0] == '`' || line[0] == '~') && run >= 3;
    if (size_ == 0) {
      if (!mark || line.find('`', run) != std::string_view::npos) return false;
      kind_ = line[0];
      size_ = run;
      return true;
    }
    if (mark && line[0] == kind_ && run >= size_ && run == line.size()) size_ = 0;
    return true;
  }

 private:
  char kind_ = '`';
  std::size_t size_ = 0;  // 0: no block is open
};

std::vector<Marker> markdown_markers(std::string_view text) {
  std::vector<Marker> out;
  Fence fence;
  std::size_t end = 0;
  for (std::size_t start = 0; start < text.size(); start = end + 1) {
    end = std::min(text.find('\n', start), text.size());
    std::string_view line = text.substr(start, end - start);
    const std::size_t lead = std::min(line.find_first_not_of(" \t>"), line.size());
    line = trimmed(line.substr(lead));
    if (fence.holds(line) || !line.starts_with("<!--")) continue;
    const auto comment = comment_at(text, start + lead);
    const bool alone = comment && comment->end == start + lead + line.size();
    if (alone && !comment->word.empty()) out.push_back(*comment);
  }
  return out;
}

std::string at_line(std::string_view file, std::string_view text, std::size_t offset) {
  const auto lines = std::count(
      text.begin(), text.begin() + static_cast<std::ptrdiff_t>(offset), '\n');
  return std::string(file) + ":" + std::to_string(lines + 1);
}

// The one stretch that the block takes the place of.
Result<Marker> find_place(std::string_view text, std::string_view file, Markup markup) {
  const std::vector<Marker> markers =
      markup == Markup::kHtml ? html_markers(text) : markdown_markers(text);
  if (markers.empty()) {
    return Error{std::string(file), "it has no place for the block",
                 "add " + std::string(kHere) +
                     (markup == Markup::kHtml ? " where it shall stand"
                                              : " on a line of its own, outside of "
                                                "code, where it shall stand")};
  }
  std::optional<Marker> place;
  for (std::size_t k = 0; k < markers.size(); ++k) {
    Marker found = markers[k];
    const std::string where = at_line(file, text, found.start);
    const bool pair =
        found.word == "begin" && k + 1 < markers.size() && markers[k + 1].word == "end";
    if (found.word != "here" && !pair) {
      return Error{where,
                   "this drydepth:" + std::string(found.word) + " has no drydepth:" +
                       (found.word == "begin" ? "end behind it" : "begin before it"),
                   "put the pair right, or put one " + std::string(kHere) +
                       " in place of the block"};
    }
    if (pair) found.end = markers[++k].end;
    if (place) {
      return Error{where, "a second place for the block", "leave one of the two"};
    }
    place = found;
  }
  return *place;
}

// What stands before the marker on its line, where all of it may be said again.
std::string lead_of(std::string_view text, std::size_t start, Markup markup) {
  const std::size_t line = start == 0 ? 0 : text.rfind('\n', start - 1) + 1;
  const std::string_view lead = text.substr(line, start - line);
  const std::string_view known = markup == Markup::kHtml ? " \t" : " \t>";
  const bool plain = lead.find_first_not_of(known) == std::string_view::npos;
  return plain ? std::string(lead) : std::string();
}

// The line end behind the block, else the text's first one.
std::string line_end_of(std::string_view text, std::size_t block_end) {
  const std::size_t behind = text.find('\n', block_end);
  const std::size_t at = behind == std::string_view::npos ? text.find('\n') : behind;
  const bool crlf = at != std::string_view::npos && at > 0 && text[at - 1] == '\r';
  return crlf ? "\r\n" : "\n";
}

}  // namespace

Result<std::string> put_marked_block(std::string_view text, std::string_view file,
                                     Markup markup,
                                     const std::vector<std::string>& lines) {
  const auto place = find_place(text, file, markup);
  if (!place) return place.error();
  const std::string lead = lead_of(text, place->start, markup);
  const std::string bare = lead.substr(0, lead.find_last_not_of(" \t") + 1);
  const std::string next = line_end_of(text, place->end);
  std::string out(text.substr(0, place->start));
  out += kBegin;
  for (const std::string& line : lines) {
    out += next + (line.empty() ? bare : lead) + line;
  }
  out += next + lead + std::string(kEnd);
  out += text.substr(place->end);
  return out;
}

}  // namespace drydepth
