#pragma once

// What a shell may offer for the word that is being typed. The shells' scripts only
// pass the words on and show the answer, so that there is one set of rules, that of the
// binary in use.

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "cli/help/command_tree.h"

namespace drydepth {

/// Names that only the user's files know.
enum class NameKind { kSpool, kMaterial, kBody, kFirmware, kPrinter, kDryer };
using NamesOf = std::function<std::vector<std::string>(NameKind)>;

struct Candidate {
  std::string word{};
  std::string help{};  ///< one line, may be empty
};

struct Candidates {
  std::vector<Candidate> words{};
  bool files = false;    ///< file names too
  bool folders = false;  ///< folders too
};

/// `words` are those behind the program's name, the one being typed last (empty where
/// it has not begun). Only what starts as that word does is offered.
Candidates candidates(const CommandFacts& program, std::span<const std::string> words,
                      const NamesOf& names_of);

/// A line each, word and help with a tab between; ":files" and ":folders" stand for
/// what the shell itself knows.
std::string candidates_text(const Candidates& candidates);

}  // namespace drydepth
