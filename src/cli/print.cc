#include "cli/print.h"

#include <ostream>

#include "base/shown.h"
#include "report/emphasis.h"

namespace drydepth {

void print(const World& world, std::string_view text, Bold bold) {
  const std::string plain = shown_text(text);
  if (!world.bold || bold == Bold::kNothing) {
    world.out << plain << std::flush;
  } else {
    world.out << (bold == Bold::kHeadings ? emphasised(plain) : emphasised_table(plain))
              << std::flush;
  }
}

void talk(const World& world, std::string_view text) {
  world.talk << shown_text(text) << std::flush;
}

int complain(const World& world, const Error& error) {
  talk(world, "drydepth: " + error.text() + "\n");
  return error.exit_code;
}

}  // namespace drydepth
