#include "report/layout.h"

#include <algorithm>

#include "base/shown.h"
#include "base/wrap.h"
#include "report/words.h"

namespace drydepth {

void section(std::string& out, std::string_view heading,
             const std::vector<std::string>& sentences) {
  std::string label(heading);
  for (const std::string& sentence : sentences) {
    bool first = true;
    for (const std::string& line : wrap_text(shown(sentence), kColumns - kIndent - 2)) {
      label.resize(kIndent, ' ');
      out += label + (first ? "" : "  ") + line + "\n";
      label.clear();
      first = false;
    }
  }
}

void table(std::string& out, std::vector<Row> rows, std::size_t left) {
  for (Row& row : rows) {
    for (std::string& cell : row) cell = shown(cell);
  }
  std::vector<std::size_t> width(rows.front().size());
  for (const Row& row : rows) {
    for (std::size_t c = 0; c < row.size(); ++c) {
      width[c] = std::max(width[c], row[c].size());
    }
  }
  for (const Row& row : rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) {
      const std::string pad(width[c] - row[c].size(), ' ');
      if (c > 0) line += "  ";
      line += c < left ? row[c] + pad : pad + row[c];
    }
    while (!line.empty() && line.back() == ' ') line.pop_back();
    out += line + "\n";
  }
}

}  // namespace drydepth
