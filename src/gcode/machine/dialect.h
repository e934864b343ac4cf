#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "gcode/machine/limits.h"
#include "gcode/machine/pattern.h"

namespace drydepth {

/// What G90 and G91 do to the extrusion axis.
enum class ERule {
  kSet,   ///< they set E too, and so cancel an earlier M82 or M83
  kOr,    ///< E is relative while M83 or G91 is in force
  kLeave  ///< E obeys M82 and M83 only
};

/// How a line for the printer's display is spelled.
struct MessageForm {
  std::string before;   ///< e.g. "M117 "
  std::string after;    ///< e.g. ")"
  int max_length = 20;  ///< characters of the text itself
};

/// What a firmware does by itself when it stands.
struct IdleRule {
  double minutes = 0;        ///< by default; 0: not known
  std::string does;          ///< "turns heaters and motors off, also while paused"
  bool loses_place = false;  ///< so that the job cannot go on
  std::string command;       ///< sets it, seconds follow; empty where there is none
};

/// A word of the job's comments or of the slicer's environment that gives the firmware
/// away. Keys are those of Metadata::facts. The heaviest sign that matches decides.
struct DialectSign {
  std::string key;
  Pattern pattern{};
  int weight = 0;
};

/// What the tool must know of a firmware to read its G-code and write into it. Values
/// come from rules/firmware/*.json, where each has its source.
struct Dialect {
  std::string id;
  std::string name;  ///< for people
  ERule e_rule = ERule::kOr;
  std::string e_axes = "E";      ///< letters that carry filament
  bool g10_sets_tools = false;   ///< G10 with P, L, R or S is no retraction
  bool lower_case = false;       ///< commands in lower case are obeyed
  bool bare_g92_zeroes = false;  ///< G92 without words zeroes all axes
  bool flow_per_tool = true;     ///< M221 without a tool acts on the active one only
  double max_flow = 0;           ///< M221 is held to this factor; 0: to none
  std::optional<MessageForm> message;
  std::string pause;   ///< parks and waits; empty where none is certain
  std::string nozzle;  ///< sets the nozzle and does not wait, degrees follow
  IdleRule idle;
  bool obeys_m601 = false;  ///< M601 pauses here
  std::string retraction;   ///< sets the firmware's own retraction, mm follow, e.g.
                            ///< "M207 S"; empty where none is certain
  LimitForm limit_form = LimitForm::kPerSecond;
  MotionLimits limits;  ///< where a job states none
  std::vector<DialectSign> signs;
  std::string text;  ///< the rule file that all of this was read from
};

/// A value found in a job, and where.
struct Fact {
  std::string value;
  std::string where;  ///< in words, e.g. "gcode_flavor on line 5093"
};
using Facts = std::map<std::string, Fact, std::less<>>;

struct DialectChoice {
  const Dialect* dialect = nullptr;
  std::string source;  ///< in words: where that was read, or that it is a guess
  bool guessed = false;
};

/// The dialect with the heaviest matching sign, else the one called "unknown", else the
/// first. dialects must not be empty; the result points into it.
DialectChoice choose_dialect(const std::vector<Dialect>& dialects, const Facts& facts);

/// The dialect of that id, or null.
const Dialect* find_dialect(const std::vector<Dialect>& dialects, std::string_view id);

/// The line that shows the text on the printer, or nullopt where the dialect has none.
/// The text is brought to lower case, stripped of all but [a-z0-9 .%-], made to begin
/// with a letter, and cut to the dialect's length: firmwares have taken other
/// characters for commands, line ends or comments.
std::optional<std::string> display_message(const Dialect& dialect,
                                           std::string_view text);

/// The line that parks and waits: the user's own command from the slicer's settings
/// unless it is the stock M601 where that does not pause, else the dialect's. Empty
/// when none is certain. Only the first line of a longer setting is looked at; settings
/// of more lines are macros of the user's and are refused (empty).
std::string pause_command(const Dialect& dialect, std::string_view users_own);

}  // namespace drydepth
