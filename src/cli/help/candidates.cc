#include "cli/help/candidates.h"

#include <algorithm>
#include <array>
#include <string_view>

namespace drydepth {
namespace {

struct WordList {
  const char* of;  // an option, or a command and the word in it
  const char* words;
};
// Words with a fixed choice. CLI11 knows no choices here: a wrong one is refused where
// it is used, with a sentence of its own.
constexpr std::array<WordList, 14> kWordLists = {
    {{"--feed", "open dry-box live-dryer"},
     {"--limit", "cosmetic strength"},
     {"--fail-on", "may-cross will-cross cannot-tell"},
     {"--sort", "id moisture depth left exposure hot"},
     {"--color", "auto always never"},
     {"--history", "unknown"},
     {"--action", "note message pause adjust"},
     {"--support", "same less ignore"},
     {"--completion", "bash zsh fish"},
     {"--into-format", "markdown html json csv"},
     {"--size", "60x30mm A7 A8"},
     {"log WORDS",
      "weighing drying storage print piece coupon purge stop scale room feed job log "
      "since until for"},
     {"rules WORD", "list show check"},
     {"config WORD", "show"}}};

constexpr std::array<std::pair<const char*, NameKind>, 8> kNamed = {
    {{"SPOOL", NameKind::kSpool},
     {"[Tn=]SPOOL", NameKind::kSpool},
     {"MATERIAL", NameKind::kMaterial},
     {"BODY", NameKind::kBody},
     {"FIRMWARE", NameKind::kFirmware},
     {"PRINTER", NameKind::kPrinter},
     {"DRYER", NameKind::kDryer},
     {"NAME", NameKind::kMaterial}}};

// "T1=" where what is typed begins with a tool, else nothing.
std::string tool_before(std::string_view typed) {
  const std::size_t equals = typed.find('=');
  if (equals == typed.npos || equals < 2 || typed[0] != 'T') return {};
  const bool tool =
      typed.substr(1, equals - 1).find_first_not_of("0123456789") == typed.npos;
  return tool ? std::string(typed.substr(0, equals + 1)) : "";
}

class Offer {
 public:
  explicit Offer(std::string_view typed) : typed_(typed) {}

  void add(std::string word, std::string help = "") {
    if (word.starts_with(typed_))
      out_.words.push_back({std::move(word), std::move(help)});
  }
  void add_split(std::string_view words) {
    while (!words.empty()) {
      const std::size_t end = std::min(words.find(' '), words.size());
      add(std::string(words.substr(0, end)));
      words.remove_prefix(std::min(end + 1, words.size()));
    }
  }
  /// What may stand as the value of an option or in a word's place.
  void add_values(const std::string& command, const OptionFacts& option,
                  const NamesOf& names_of) {
    const std::string place =
        option.positional ? command + " " + option.value : option.name();
    for (const WordList& list : kWordLists) {
      if (place == list.of) return add_split(list.words);
    }
    for (const auto& [value, kind] : kNamed) {
      if (option.value != value) continue;
      for (const std::string& name : names_of(kind)) {
        add(option.value == "[Tn=]SPOOL" ? tool_before(typed_) + name : name);
      }
    }
    const std::string& value = option.value;
    out_.folders = value == "DIR";
    // A spool may be a path and a rule file of one's own a NAME; where an id fits as
    // typed the files would only be in the way.
    out_.files = value == "FILE" || value == "JOB" ||
                 ((value == "SPOOL" || value == "[Tn=]SPOOL" || value == "NAME") &&
                  out_.words.empty());
  }
  Candidates take() { return std::move(out_); }

 private:
  std::string_view typed_;
  Candidates out_{};
};

const OptionFacts* find_option(const CommandFacts& facts, std::string_view word) {
  for (const OptionFacts& o : facts.options) {
    if (o.positional) continue;
    if (std::find(o.names.begin(), o.names.end(), word) != o.names.end()) return &o;
  }
  return nullptr;
}

// The words before the one being typed, as far as they matter to it.
struct Typed {
  const CommandFacts* command = nullptr;
  const OptionFacts* waiting = nullptr;  // an option that lacks its value
  std::size_t places = 0;                // words of the command so far
};

Typed read_typed(const CommandFacts& program, std::span<const std::string> words) {
  Typed out;
  for (const std::string& word : words) {
    if (out.waiting != nullptr) {
      out.waiting = nullptr;
    } else if (word.starts_with('-')) {
      const OptionFacts* option =
          out.command != nullptr ? find_option(*out.command, word) : nullptr;
      if (option == nullptr) option = find_option(program, word);
      if (option != nullptr && !option->value.empty()) out.waiting = option;
    } else if (out.command == nullptr) {
      out.command = find_command(program, word);
    } else {
      ++out.places;
    }
  }
  return out;
}

const OptionFacts* place_at(const CommandFacts& command, std::size_t index) {
  const OptionFacts* last = nullptr;
  for (const OptionFacts& o : command.options) {
    if (!o.positional) continue;
    if (index == 0) return &o;
    --index;
    last = o.repeated ? &o : nullptr;
  }
  return last;
}

void offer_options(Offer& offer, const CommandFacts& facts) {
  for (const OptionFacts& o : facts.options) {
    if (!o.positional) offer.add(o.name(), o.help);
  }
}

}  // namespace

Candidates candidates(const CommandFacts& program, std::span<const std::string> words,
                      const NamesOf& names_of) {
  const std::string_view current = words.empty() ? "" : std::string_view(words.back());
  const auto before = words.first(words.empty() ? 0 : words.size() - 1);
  const Typed typed = read_typed(program, before);
  Offer offer(current);
  const std::string command = typed.command != nullptr ? typed.command->name : "";
  if (typed.waiting != nullptr) {
    offer.add_values(command, *typed.waiting, names_of);
  } else if (current.starts_with('-')) {
    if (typed.command != nullptr) offer_options(offer, *typed.command);
    if (typed.command == nullptr) offer_options(offer, program);
  } else if (typed.command == nullptr || command == "help") {
    for (const CommandFacts& c : program.commands) offer.add(c.name, c.summary);
  } else if (const OptionFacts* place = place_at(*typed.command, typed.places)) {
    offer.add_values(command, *place, names_of);
  }
  return offer.take();
}

std::string candidates_text(const Candidates& candidates) {
  std::string out;
  for (const Candidate& c : candidates.words) out += c.word + "\t" + c.help + "\n";
  if (candidates.files) out += ":files\t\n";
  if (candidates.folders) out += ":folders\t\n";
  return out;
}

}  // namespace drydepth
