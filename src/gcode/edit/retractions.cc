#include "gcode/edit/retractions.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "gcode/clock/timing.h"
#include "gcode/edit/blocks.h"
#include "gcode/edit/respell.h"
#include "gcode/machine/modal.h"
#include "gcode/machine/plain_line.h"
#include "gcode/machine/splitter.h"

namespace drydepth {
namespace {

// Slicers that wipe while they retract round each piece.
constexpr double kSameLengthMm = 0.002;

/// A line that may have to change.
struct LineCopy {
  std::uint64_t offset = 0, next = 0, number = 0;
  std::string text;
};

/// A retraction that was not given back yet.
struct OpenRetraction {
  double length_mm = 0;
  double units_per_mm = 1;  // of the E words
  bool relative = false;
  bool spoiled = false;            // something in between makes it no plain pair
  std::optional<LineCopy> last{};  // the last piece, a move of E alone
  std::optional<LineCopy> origin{};
};

/// The firmware's own retraction as the job has set it.
struct FirmwareRetraction {
  std::string stated{};    // the job's number
  std::string in_force{};  // with ours
  std::map<int, bool> retracted{};
};

bool is_blank(char c) { return c == ' ' || c == '\t'; }

/// What a line says of the firmware's retraction: how long it is, or that its length is
/// not known from here on, since it is none or one tool's alone.
struct Setting {
  std::string length{};
  bool unknown = false;
};

/// Nothing where the line is not that command, or says nothing of the length.
std::optional<Setting> read_setting(std::string_view line, std::string_view setting) {
  const auto blank = setting.find(' ');
  if (blank == setting.npos) return std::nullopt;
  const std::string_view command = setting.substr(0, blank);
  if (!line.starts_with(command) || line.size() <= blank || !is_blank(line[blank])) {
    return std::nullopt;
  }
  const std::string_view words = line.substr(0, line.find(';'));
  const bool one_tool = command.starts_with('M') && words.find('P') != words.npos;
  if (one_tool) return Setting{.unknown = true};
  const auto at = words.find(setting.substr(blank));
  if (at == words.npos) return std::nullopt;
  const char* const begin = words.data() + at + setting.size() - blank;
  const Decimal read = read_decimal(begin, words.data() + words.size());
  if (read.end == begin || read.value <= 0) return Setting{.unknown = true};
  return Setting{.length = std::string(begin, read.end)};
}

/// Commands between a retraction and its recovery after which they are no plain pair.
bool parts_pairs(const Command& c) {
  if (c.letter == 'T' || c.has_minor) return true;
  if (c.letter == 'G') {
    constexpr std::array kParting = {10, 11, 20, 21, 22, 23, 90, 91};
    return std::find(kParting.begin(), kParting.end(), c.number) != kParting.end();
  }
  if (c.letter == 'M') {
    constexpr std::array kParting = {82, 83, 108, 135, 200, 207, 208, 209, 221, 600};
    return std::find(kParting.begin(), kParting.end(), c.number) != kParting.end();
  }
  return false;
}

/// Macros of the user's may do anything; these are the firmware's own.
bool is_known_name(std::string_view name) {
  return name.starts_with("SET_") || name.starts_with("EXCLUDE_OBJECT");
}

class Lengthener {
 public:
  Lengthener(const Dialect& dialect, const EReading& reading,
             const std::vector<RetractionWish>& wishes)
      : dialect_(dialect),
        wishes_(wishes),
        modal_(dialect, reading.relative, reading.volumetric, reading.diameter_mm) {
    for (const RetractionWish& wish : wishes) out_.tools.push_back({.tool = wish.tool});
  }

  void feed(std::string_view bytes) {
    plain_.begin_buffer(bytes);
    splitter_.feed(
        bytes,
        [this](std::string_view rest) {
          const std::size_t length = plain_.read(rest);
          is_plain_ = length != 0;
          return length;
        },
        [this](const LineView& line) { take_line(line); });
  }

  LongerRetractions finish() {
    is_plain_ = false;
    splitter_.finish([this](const LineView& line) { take_line(line); });
    if (out_.too_many) out_.edits.clear();
    std::stable_sort(out_.edits.begin(), out_.edits.end(), comes_before);
    return std::move(out_);
  }

 private:
  void take_line(const LineView& line) {
    if (is_plain_) return take_move(plain_.command(), line);
    if (line.text.empty() || line.text.front() == ';') return;
    parse_line(line.text, command_);
    const Command& c = command_;
    if (c.letter == 0) return take_named(line);
    if (c.lower_case && !dialect_.lower_case) return;
    const bool moves = c.letter == 'G' && !c.has_minor && c.number >= 0 &&
                       (c.number <= 3 || c.number == 5);
    if (moves) return take_move(c, line);
    if (c.is('G', 92)) return take_origin(c, line);
    take_command(c, line);
  }

  void take_move(const Command& c, const LineView& line) {
    const Move move = modal_.move(c);
    const char axis = e_axis(c);
    if (axis == 0) {
      if (open_ && c.mentions('E')) open_->spoiled = true;  // computed by the firmware
      return;
    }
    const bool alone = c.number <= 1 && !c.has('X') && !c.has('Y') && !c.has('Z');
    const double before = std::exchange(
        place_, modal_.relative_e() ? place_ + c.value(axis) : c.value(axis));
    if (move.unscaled < 0) {
      take_piece(-move.unscaled, alone, line);
      open_->units_per_mm = std::abs((place_ - before) / move.unscaled);
    } else if (move.unscaled > 0) {
      take_recovery(move.unscaled, alone, line);
    } else if (open_ && !open_->relative) {
      open_->spoiled = true;  // states the place that will have moved
    }
  }

  void take_piece(double length_mm, bool alone, const LineView& line) {
    if (!open_) open_ = OpenRetraction{.relative = modal_.relative_e()};
    open_->length_mm += length_mm;
    open_->last = alone ? copy_of(line) : std::nullopt;
    open_->origin.reset();
  }

  void take_recovery(double length_mm, bool alone, const LineView& line) {
    if (!open_) return;
    const OpenRetraction pair = *std::move(open_);
    open_.reset();
    const auto at = wish_at(line.number);
    if (!at || pair.length_mm > wishes_[*at].unload_mm) return;
    const bool begun = pair.last && pair.last->number < wishes_[*at].from_line;
    if (begun) return;
    const bool plain = alone && pair.last && !pair.spoiled && !out_.overruled &&
                       std::abs(pair.length_mm - length_mm) < kSameLengthMm;
    if (!plain || !lengthen(pair, copy_of(line), wishes_[*at], out_.tools[*at])) {
      ++out_.tools[*at].left_alone;
    }
  }

  bool lengthen(const OpenRetraction& pair, const std::optional<LineCopy>& recovery,
                const RetractionWish& wish, RetractionsDone& done) {
    if (!recovery) return false;
    const double more_mm = std::min(wish.share * pair.length_mm, wish.most_mm);
    // Never more than allowed; the words of few slicers have more than three decimals.
    const auto more = static_cast<std::int64_t>(
        std::floor(more_mm * pair.units_per_mm * 1000.0 + 1e-6));
    if (more <= 0) return false;
    const auto retracts = shifted(*pair.last, -more);
    const LineCopy* const second = pair.relative ? &*recovery
                                   : pair.origin ? &*pair.origin
                                                 : nullptr;
    const auto follows = second == nullptr
                             ? std::optional<std::string>("")
                             : shifted(*second, pair.relative ? more : -more);
    if (!retracts || !follows) return false;
    if (!one_more(wish)) return true;
    replace(*pair.last, *retracts);
    if (second != nullptr) replace(*second, *follows);
    const double added_mm = static_cast<double>(more) / 1000.0 / pair.units_per_mm;
    count(added_mm, done);
    ++done.longer;
    return true;
  }

  /// Once there are too many, no more are kept.
  bool one_more(const RetractionWish& wish) {
    if (changed_ >= wish.most_pairs) out_.too_many = true;
    if (!out_.too_many) ++changed_;
    return !out_.too_many;
  }

  static void count(double added_mm, RetractionsDone& done) {
    const bool first = done.longer + done.firmware == 0;
    done.least_mm = first ? added_mm : std::min(done.least_mm, added_mm);
    done.most_mm = std::max(done.most_mm, added_mm);
  }

  /// The line with its E moved by so many thousandths.
  std::optional<std::string> shifted(const LineCopy& line, std::int64_t by) const {
    for (const char axis : dialect_.e_axes) {
      const NumberSpan span = find_number(line.text, axis);
      if (span.size == 0) continue;
      const auto number =
          shifted_number(std::string_view(line.text).substr(span.at, span.size), by);
      if (!number) return std::nullopt;
      return line.text.substr(0, span.at) + *number +
             line.text.substr(span.at + span.size);
    }
    return std::nullopt;
  }

  void replace(const LineCopy& line, const std::string& by) {
    out_.edits.push_back({.offset = line.offset,
                          .line = line.number,
                          .action = std::string(kWasAction),
                          .lines = {line.text, by}});
    out_.edits.push_back({.offset = line.next,
                          .line = line.number + 1,
                          .action = std::string(kNowAction),
                          .lines = {by}});
  }

  void take_origin(const Command& c, const LineView& line) {
    modal_.apply(c);
    const char axis = e_axis(c);
    if (axis != 0) {
      place_ = c.value(axis);
    } else if (c.bare() && dialect_.bare_g92_zeroes) {
      place_ = 0;
    }
    if (!open_ || open_->relative) return;
    if (axis == 0) {
      if (c.bare() && dialect_.bare_g92_zeroes) open_->spoiled = true;
      return;
    }
    if (open_->origin) open_->spoiled = true;  // one too many to follow
    open_->origin = copy_of(line);
    if (!open_->origin) open_->spoiled = true;
  }

  void take_named(const LineView& line) {
    if (command_.name.empty()) return;
    if (open_ && (!open_->relative || command_.name == "ACTIVATE_EXTRUDER") &&
        !is_known_name(command_.name)) {
      open_->spoiled = true;
    }
    if (command_.name == "ACTIVATE_EXTRUDER") {
      constexpr std::string_view kKey = "EXTRUDER=extruder";
      const auto at = command_.text.find(kKey);
      const auto number = at == command_.text.npos
                              ? std::nullopt
                              : number_behind(command_.text.substr(at), kKey);
      modal_.select_tool(static_cast<int>(number.value_or(0)));
    }
    take_setting(line);
  }

  void take_command(const Command& c, const LineView& line) {
    if (open_ && parts_pairs(c)) open_->spoiled = true;
    if (c.is('M', 209) && c.value_or('S', 0) > 0) out_.overruled = true;
    const bool retracts = c.is('G', 10) || c.is('G', 22);
    const bool recovers = c.is('G', 11) || c.is('G', 23);
    if (retracts && !sets_tools(c)) take_firmware_retraction(c, line);
    if (recovers) firmware_.retracted[modal_.tool()] = false;
    modal_.apply(c);
    take_setting(line);
  }

  bool sets_tools(const Command& c) const {
    return dialect_.g10_sets_tools &&
           (c.mentions('P') || c.mentions('L') || c.mentions('R') || c.mentions('S'));
  }

  void take_setting(const LineView& line) {
    if (dialect_.retraction.empty()) return;
    const auto set = read_setting(line.text, dialect_.retraction);
    if (set) firmware_.stated = firmware_.in_force = set->length;
  }

  /// Our own setting goes before a G10 that finds the filament not retracted; the other
  /// length of G10 S1, for a change of filament, is not touched.
  void take_firmware_retraction(const Command& c, const LineView& line) {
    bool& retracted = firmware_.retracted[modal_.tool()];
    if (retracted) return;
    retracted = true;
    const auto at = wish_at(line.number);
    if (at && wishes_[*at].several_tools) {
      ++out_.tools[*at].shared;
      return;
    }
    if (firmware_.stated.empty()) {
      if (at) ++out_.tools[*at].not_stated;
      return;
    }
    const bool fit = !c.mentions('S') && !is_blank(line.text.front());
    std::string wanted = firmware_.stated;
    std::int64_t more = 0;
    if (at && fit) more = thousandths_more(wishes_[*at]);
    if (more > 0) wanted = shifted_number(wanted, more).value_or(wanted);
    if (!fit) return;
    if (at && wanted != firmware_.stated) {
      if (!one_more(wishes_[*at])) return;
      count(static_cast<double>(more) / 1000.0, out_.tools[*at]);
      ++out_.tools[*at].firmware;
    }
    if (wanted == firmware_.in_force) return;
    const std::string reason = more > 0 ? "longer, wet wraps" : "as sliced";
    out_.edits.push_back(
        {.offset = line.offset,
         .line = line.number,
         .action = "adjust",
         .lines = {";drydepth: retraction " + reason, dialect_.retraction + wanted}});
    firmware_.in_force = wanted;
  }

  std::int64_t thousandths_more(const RetractionWish& wish) const {
    const char* const begin = firmware_.stated.data();
    const double mm = read_decimal(begin, begin + firmware_.stated.size()).value;
    return static_cast<std::int64_t>(
        std::floor(std::min(wish.share * mm, wish.most_mm) * 1000.0 + 1e-6));
  }

  /// Index of the wish in force for the active tool.
  std::optional<std::size_t> wish_at(std::uint64_t line) const {
    for (std::size_t k = 0; k < wishes_.size(); ++k) {
      if (wishes_[k].tool == modal_.tool() && line >= wishes_[k].from_line) return k;
    }
    return std::nullopt;
  }

  /// The line, where it can be kept behind a mark: not the last one without a line end,
  /// not one in an indented block, plain words only.
  static std::optional<LineCopy> copy_of(const LineView& line) {
    const bool plain = line.ended && fits_mark(line.text) && !line.text.empty() &&
                       !is_blank(line.text.front()) &&
                       line.text.substr(0, line.text.find(';')).find_first_of("({\"") ==
                           line.text.npos;
    if (!plain) return std::nullopt;
    return LineCopy{line.offset, line.next, line.number, std::string(line.text)};
  }

  char e_axis(const Command& c) const {
    for (const char axis : dialect_.e_axes) {
      if (c.has(axis)) return axis;
    }
    return 0;
  }

  const Dialect& dialect_;
  const std::vector<RetractionWish>& wishes_;
  Modal modal_;
  LineSplitter splitter_;
  PlainLineReader plain_;
  Command command_;
  bool is_plain_ = false;
  std::optional<OpenRetraction> open_;
  FirmwareRetraction firmware_;
  double place_ = 0;  // of E, in the unit of its words
  std::size_t changed_ = 0;
  LongerRetractions out_;
};

}  // namespace

Result<LongerRetractions> lengthen_retractions(
    const ByteSource& job, const Dialect& dialect, const EReading& reading,
    const std::vector<RetractionWish>& wishes) {
  Lengthener lengthener(dialect, reading, wishes);
  BlockStripper stripper(job.name, [&lengthener](std::string_view piece) {
    lengthener.feed(piece);
    return true;
  });
  const auto read =
      job.read([&stripper](std::string_view piece) { return stripper.feed(piece); });
  if (!read) return read.error();
  if (const auto whole = stripper.finish(); !whole) return whole.error();
  return lengthener.finish();
}

}  // namespace drydepth
