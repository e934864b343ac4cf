#include "report/into/csv_fields.h"

#include <algorithm>
#include <array>
#include <map>
#include <optional>

#include "base/nearest.h"
#include "base/trimmed.h"

namespace drydepth {
namespace {

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
constexpr std::string_view kOwn = "drydepth_";

struct Cell {
  std::size_t start = 0, end = 0;  // with its quotes
  std::string value{};
};

struct Record {
  std::size_t line = 0;  // counted from 1, where it starts
  std::vector<Cell> cells{};
};

struct Table {
  char delimiter = ',';
  Record header{};
  std::vector<Record> rows{};
};

std::string at_line(std::string_view file, std::size_t line) {
  return std::string(file) + ":" + std::to_string(line);
}

// Of the candidates the one that stands most often in the first line, outside quotes.
char delimiter_of(std::string_view text) {
  constexpr std::array<char, 3> kKnown = {',', ';', '\t'};
  std::array<std::size_t, 3> counts{};
  bool quoted = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == '\n') break;
    for (std::size_t k = 0; k < kKnown.size(); ++k) counts[k] += c == kKnown[k];
  }
  const auto most = std::max_element(counts.begin(), counts.end());
  return kKnown[static_cast<std::size_t>(most - counts.begin())];
}

// Takes the table apart, front to back.
class CsvReader {
 public:
  CsvReader(std::string_view text, std::string_view file) : text_(text), file_(file) {}

  Result<Table> read() {
    Table out;
    if (text_.starts_with(kByteOrderMark)) at_ = kByteOrderMark.size();
    // A line that spreadsheets write ahead of the header: "sep=;".
    const std::string_view rest = text_.substr(at_);
    if (rest.size() > 4 && rest.starts_with("sep=")) {
      out.delimiter = delimiter_ = rest[4];
      at_ += std::min(rest.find('\n'), rest.size());
      skip_line_end();
    } else {
      out.delimiter = delimiter_ = delimiter_of(rest);
    }
    while (at_ < text_.size()) {
      if (at_line_end()) {
        skip_line_end();
        continue;
      }
      auto record = read_record();
      if (!record) return record.error();
      if (out.header.cells.empty()) {
        out.header = *std::move(record);
      } else {
        out.rows.push_back(*std::move(record));
      }
    }
    if (!out.header.cells.empty()) return out;
    return Error{std::string(file_), "the table is empty",
                 "give one with the names of its columns in the first line"};
  }

 private:
  bool at_line_end() const {
    return text_[at_] == '\n' || text_.substr(at_).starts_with("\r\n");
  }
  void skip_line_end() {
    if (at_ < text_.size() && text_[at_] == '\r') ++at_;
    if (at_ < text_.size()) ++at_;
    ++line_;
  }
  bool at_cell_end() const {
    return at_ == text_.size() || text_[at_] == delimiter_ || at_line_end();
  }

  Result<Record> read_record() {
    Record out{.line = line_};
    while (true) {
      auto cell = read_cell();
      if (!cell) return cell.error();
      out.cells.push_back(*std::move(cell));
      if (at_ == text_.size() || text_[at_] != delimiter_) break;
      ++at_;
    }
    if (at_ < text_.size()) skip_line_end();
    return out;
  }

  Result<Cell> read_cell() {
    Cell out{.start = at_};
    if (at_ < text_.size() && text_[at_] == '"') {
      auto value = read_quoted();
      if (!value) return value.error();
      out.value = *std::move(value);
    } else {
      while (!at_cell_end()) out.value += text_[at_++];
    }
    out.end = at_;
    return out;
  }

  Result<std::string> read_quoted() {
    const std::size_t opened = line_;
    std::string out;
    for (++at_; at_ < text_.size(); ++at_) {
      if (text_[at_] == '\n') ++line_;
      if (text_[at_] != '"') {
        out += text_[at_];
        continue;
      }
      ++at_;
      if (at_ < text_.size() && text_[at_] == '"') {
        out += '"';
        continue;
      }
      if (at_cell_end()) return out;
      return Error{at_line(file_, line_), "something stands behind a closing quote",
                   "write a quote inside a quoted cell twice"};
    }
    return Error{at_line(file_, opened), "a quoted cell that opens here never closes",
                 "close it with a quote"};
  }

  std::string_view text_, file_;
  std::size_t at_ = 0, line_ = 1;
  char delimiter_ = ',';
};

std::optional<std::size_t> column_of(const Table& table, std::string_view name) {
  for (std::size_t c = 0; c < table.header.cells.size(); ++c) {
    if (trimmed(table.header.cells[c].value, " \t") == name) return c;
  }
  return std::nullopt;
}

// Which cells speak of the job.
struct Wanted {
  std::string word;
  std::optional<std::size_t> column{};
  bool path = false;  // a path that ends in the word will do

  bool fits(std::string_view cell) const {
    cell = trimmed(cell, " \t");
    if (cell == word) return true;
    if (!path || !cell.ends_with(word) || cell.size() == word.size()) return false;
    const char before = cell[cell.size() - word.size() - 1];
    return before == '/' || before == '\\';
  }
  bool fits(const Table& table, const Record& row) const {
    for (std::size_t c = 0; c < row.cells.size(); ++c) {
      if (column && *column != c) continue;
      const bool own = c < table.header.cells.size() &&
                       table.header.cells[c].value.starts_with(kOwn);
      if (!own && fits(row.cells[c].value)) return true;
    }
    return false;
  }
};

Wanted wanted(const Table& table, const std::string& job, const std::string& typed) {
  if (typed.empty()) return {.word = job, .path = true};
  const std::size_t equals = typed.find('=');
  if (equals != std::string::npos) {
    const auto column = column_of(table, typed.substr(0, equals));
    if (column) return {.word = typed.substr(equals + 1), .column = column};
  }
  return {.word = typed};
}

Result<const Record*> find_row(const Table& table, std::string_view file,
                               const Wanted& what) {
  const Record* found = nullptr;
  const std::string quoted = "\"" + what.word + "\"";
  for (const Record& row : table.rows) {
    if (!what.fits(table, row)) continue;
    if (found != nullptr) {
      return Error{at_line(file, row.line),
                   "a second row says " + quoted + ", line " +
                       std::to_string(found->line) + " is the first",
                   "say which with --row COLUMN=WORD"};
    }
    found = &row;
  }
  if (found != nullptr) return found;
  std::vector<std::string> names;
  for (const Cell& cell : table.header.cells) {
    if (!cell.value.starts_with(kOwn)) names.push_back(cell.value);
  }
  return Error{std::string(file), "no row says " + quoted,
               "add the job's row, or name it with --row WORD or --row COLUMN=WORD; "
               "columns: " +
                   join_words(names)};
}

std::string cell_text(const CsvField& field, char delimiter) {
  std::string out = field.value;
  if (field.number && delimiter == ';') std::replace(out.begin(), out.end(), '.', ',');
  // What a spreadsheet would run as a formula is text to it behind an apostrophe.
  if (!field.number && out.find_first_of("=+-@\t\r") == 0) out.insert(0, "'");
  const std::string special{'"', '\r', '\n', delimiter};
  const bool blank = !out.empty() && (out.front() == ' ' || out.back() == ' ');
  if (!blank && out.find_first_of(special) == std::string::npos) return out;
  std::string quoted;
  for (const char c : out) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
  return "\"" + quoted + "\"";
}

std::string unquoted(const std::string& cell) {
  if (cell.empty() || cell.front() != '"') return cell;
  std::string out;
  for (std::size_t k = 1; k + 1 < cell.size(); ++k) {
    out += cell[k];
    if (cell[k] == '"') ++k;
  }
  return out;
}

// A stretch of the table and what takes its place.
struct Patch {
  std::size_t start = 0, end = 0;
  std::string text{};
};

// Where the fields go: columns that are there, then new ones behind the header.
struct Places {
  std::map<std::size_t, std::string> cells{};  // by column
  std::vector<std::string> names{};            // of the new columns
};

Result<Places> find_places(const Table& table, std::string_view file,
                           const std::vector<CsvField>& fields) {
  Places out;
  const auto& header = table.header.cells;
  for (const CsvField& field : fields) {
    const auto times = std::count_if(header.begin(), header.end(), [&](const Cell& c) {
      return trimmed(c.value, " \t") == field.column;
    });
    if (times > 1) {
      return Error{at_line(file, table.header.line),
                   "the column \"" + field.column + "\" stands twice",
                   "leave one of the two"};
    }
    const std::size_t column =
        column_of(table, field.column).value_or(header.size() + out.names.size());
    if (times == 0) out.names.push_back(field.column);
    out.cells[column] = cell_text(field, table.delimiter);
  }
  for (const Record& row : table.rows) {
    if (out.names.empty() || row.cells.size() <= header.size()) continue;
    return Error{at_line(file, row.line),
                 "this row has " + std::to_string(row.cells.size()) +
                     " cells, the header " + std::to_string(header.size()),
                 "mend one of the two; a cell with a delimiter in it wants quotes"};
  }
  return out;
}

// Cells behind the last one of a row, up to a width; those of no field stay empty.
Patch added_cells(const Table& table, const Record& row, std::size_t width,
                  const std::map<std::size_t, std::string>& cells) {
  const std::size_t end = row.cells.back().end;
  Patch out{end, end, {}};
  for (std::size_t c = row.cells.size(); c < width; ++c) {
    const auto cell = cells.find(c);
    out.text += table.delimiter + (cell == cells.end() ? "" : cell->second);
  }
  return out;
}

std::vector<Patch> patches(const Table& table, const Record& ours,
                           const Places& places) {
  std::vector<Patch> out;
  const std::size_t old_width = table.header.cells.size();
  const std::size_t width = old_width + places.names.size();
  std::map<std::size_t, std::string> names;
  for (std::size_t k = 0; k < places.names.size(); ++k) {
    names[old_width + k] = places.names[k];
  }
  out.push_back(added_cells(table, table.header, width, names));
  for (const Record& row : table.rows) {
    if (&row == &ours) {
      for (const auto& [column, text] : places.cells) {
        if (column >= row.cells.size()) break;
        const Cell& cell = row.cells[column];
        // Quotes that somebody put around the same words stay.
        if (cell.value != unquoted(text)) out.push_back({cell.start, cell.end, text});
      }
      out.push_back(added_cells(table, row, width, places.cells));
    } else if (!names.empty()) {
      out.push_back(added_cells(table, row, width, {}));
    }
  }
  return out;
}

}  // namespace

Result<std::string> put_csv_fields(std::string_view text, std::string_view file,
                                   const std::string& job, const std::string& typed,
                                   const std::vector<CsvField>& fields) {
  const auto table = CsvReader(text, file).read();
  if (!table) return table.error();
  const auto row = find_row(*table, file, wanted(*table, job, typed));
  if (!row) return row.error();
  const auto places = find_places(*table, file, fields);
  if (!places) return places.error();
  std::string out;
  std::size_t done = 0;
  for (const Patch& patch : patches(*table, **row, *places)) {
    out += text.substr(done, patch.start - done);
    out += patch.text;
    done = patch.end;
  }
  out += text.substr(done);
  return out;
}

}  // namespace drydepth
