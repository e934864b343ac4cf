#include "gcode/read/spool_names.h"

#include <catch2/catch.hpp>

using namespace drydepth;
using Names = std::map<int, std::string>;

TEST_CASE("spools that a job names") {
  const struct {
    const char* label;
    const char* job;
    Names names;
  } rows[] = {
      {"none", "G1 X1\n; a drydepth job\n", {}},
      {"for all tools", "G28\n; drydepth-spool: K-07\nG1 X1\n", {{-1, "K-07"}}},
      {"by tool, CRLF",
       ";drydepth-spool: T0=K-07\r\n;drydepth-spool:T1=none\r\n",
       {{0, "K-07"}, {1, "none"}}},
      {"a path with blanks",
       "; drydepth-spool: shelf b/K 07.json\n",
       {{-1, "shelf b/K 07.json"}}},
      {"the first comment stands",
       "; drydepth-spool: A\n; drydepth-spool: B\n",
       {{-1, "A"}}},
      {"in a command it is not a comment of its own", "M117 drydepth-spool: A\n", {}},
      {"notes, by their place",
       "; filament_notes = \"PA6\\ndrydepth-spool: K-07\";dry\n",
       {{0, "K-07"}}},
      {"notes of the second tool, separators in quotes",
       "; filament_notes = \"a;b \\\"c\\\"\";\"drydepth-spool: W-12\\nmore\"\n",
       {{1, "W-12"}}},
      {"notes without quotes",
       "; filament_notes = drydepth-spool: K-07;\n",
       {{0, "K-07"}}},
      {"a comment stands over notes",
       "; drydepth-spool: T0=A\n; filament_notes = drydepth-spool: B;drydepth-spool: "
       "C\n",
       {{0, "A"}, {1, "C"}}},
      {"a name for all over notes",
       "; drydepth-spool: A\n; filament_notes = x;drydepth-spool: C\n",
       {{-1, "A"}}},
      {"nothing behind the word",
       "; drydepth-spool:\n; drydepth-spool: T1\n",
       {{-1, "T1"}}},
      {"no final newline", "; drydepth-spool: K", {{-1, "K"}}},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(named_spools(row.job) == row.names);
  }
}

TEST_CASE("in a long job both ends are looked at, the middle is not") {
  const std::string filling(2 * (kNamesAtTop + kNamesAtEnd), '\n');
  CHECK(named_spools("; drydepth-spool: A\n" + filling) == Names{{-1, "A"}});
  CHECK(named_spools(filling + "; drydepth-spool: B\n") == Names{{-1, "B"}});
  CHECK(named_spools(filling + "; drydepth-spool: C\n" + filling).empty());
}
