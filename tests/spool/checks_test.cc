#include "spool/checks.h"

#include <catch2/catch.hpp>
#include <string>

#include "record/record_text.h"

namespace drydepth {
namespace {

TEST_CASE("events out of order, overlapping or too light") {
  struct Row {
    std::string label;
    std::string events;
    std::string error;  // empty: nothing wrong
  };
  const std::string storage =
      R"({"type": "storage", "from": "2026-03-03T08:00:00Z", "to": "2026-03-04T08:00:00Z"},)";
  const std::string open_storage =
      R"({"type": "storage", "from": "2026-03-03T08:00:00Z"},)";
  const Row rows[] = {
      {"a weighing inside an interval",
       storage +
           R"({"type": "weighing", "at": "2026-03-03T09:00:00Z", "gross_g": 1190})",
       ""},
      {"one ends as the next starts",
       storage + R"({"type": "print", "from": "2026-03-04T08:00:00Z", "used_g": 1})",
       ""},
      {"an open one followed by another",
       open_storage +
           R"({"type": "print", "from": "2026-03-03T09:00:00Z", "used_g": 1})",
       ""},
      {"overlap",
       storage + R"({"type": "print", "from": "2026-03-04T07:00:00Z", "used_g": 1})",
       "T.json /events/1/from: this print starts at 2026-03-04T07:00:00Z, before the "
       "storage ahead of it ends at 2026-03-04T08:00:00Z; a spool is in one place at a "
       "time, mend one of the two times"},
      {"overlap behind a weighing",
       storage + R"({"type": "weighing", "at": "2026-03-03T09:00:00Z", "gross_g": 1190},
                    {"type": "storage", "from": "2026-03-03T10:00:00Z"})",
       "T.json /events/2/from: this storage starts at 2026-03-03T10:00:00Z, before the "
       "storage ahead of it ends at 2026-03-04T08:00:00Z; a spool is in one place at a "
       "time, mend one of the two times"},
      {"before the opening",
       R"({"type": "weighing", "at": "2026-03-01T09:00:00Z", "gross_g": 1190})",
       "T.json /events/0/at: the event at 2026-03-01T09:00:00Z lies before the opening "
       "at "
       "2026-03-02T08:00:00Z; mend one of the two times"},
      {"out of order",
       storage +
           R"({"type": "weighing", "at": "2026-03-02T09:00:00Z", "gross_g": 1190})",
       "T.json /events/1/at: the event at 2026-03-02T09:00:00Z stands behind one that "
       "starts later; put events in the order of their times"},
      {"lighter than empty",
       R"({"type": "weighing", "at": "2026-03-02T09:00:00Z", "gross_g": 190})",
       "T.json /events/0/gross_g: 190.0 g is less than the empty spool's 214.0 g; "
       "check "
       "the reading, its unit and the tare"},
      {"within the tare's spread",
       R"({"type": "weighing", "at": "2026-03-02T09:00:00Z", "gross_g": 206})", ""},
  };
  for (const Row& row : rows) {
    INFO(row.label);
    const Result<SpoolRecord> record = read_record(record_text(row.events), "T.json");
    CHECK((record ? "" : record.error().text()) == row.error);
  }
}

TEST_CASE("masses this material makes impossible") {
  struct Row {
    std::string label;
    std::string text;
    std::string error;
  };
  const std::string by_size =
      R"("outer_diameter_mm": 185, "hub_diameter_mm": 80, "width_mm": 55})";
  const auto weighing = [](const std::string& grams) {
    return R"({"type": "weighing", "at": "2026-03-02T09:00:00Z", "gross_g": )" + grams +
           "}";
  };
  const std::string prints =
      R"({"type": "print", "from": "2026-03-02T09:00:00Z", "to": "2026-03-02T12:00:00Z",
          "used_g": 700},
         {"type": "print", "from": "2026-03-02T13:00:00Z", "to": "2026-03-02T18:00:00Z",
          "used_g": )";
  const std::string net_winding =
      R"("hub_diameter_mm": 80, "width_mm": 55, "full_net_g": 978})";
  // pa6 saturates at k/(1 - q) = 0.045/0.47 = 9.574 %, so by label: 1.05 * 978 g *
  // (1 + 1.25 * 0.09574) + 1.2 * 214 g + 3 * 3 g = 1415.6 g.
  const Row rows[] = {
      {"full and wet", record_text(weighing("1415")), ""},
      {"above that", record_text(weighing("1417")),
       "T.json /events/0/gross_g: 1417.0 g is more than this spool can weigh, 1415.6 g "
       "wet "
       "to the core (sold with 978.0 g); check the reading, its unit and the spool"},
      {"ounces as grams, by size",
       replaced(record_text(weighing("2000")), net_winding, by_size),
       "T.json /events/0/gross_g: 2000.0 g is more than this spool can weigh, 1645.0 g "
       "wet "
       "to the core (its size holds at most 1231.8 g); check the reading, its unit and "
       "the spool"},
      {"all printed", record_text(prints + "320}"), ""},
      {"more than all", record_text(prints + "330}"),
       "T.json /events/1/used_g: 1030.0 g printed up to here is more than the 1026.9 g "
       "the spool can have held; check used_g of the prints and the net mass"},
      {"begun elsewhere",
       record_text(prints + "1}", R"({"at": "2026-03-02T08:00:00Z", "net_g": 500})"),
       "T.json /events/0/used_g: 700.0 g printed up to here is more than the 525.0 g "
       "the "
       "spool can have held; check used_g of the prints and the net mass"},
  };
  const Result<std::vector<Material>> materials = load_materials();
  REQUIRE(materials.has_value());
  const Material pa6 = *find_material(*materials, "pa6", "test");
  for (const Row& row : rows) {
    INFO(row.label);
    const Result<Done> done = check_masses(read(row.text), pa6);
    CHECK((done ? "" : done.error().text()) == row.error);
  }
}

}  // namespace
}  // namespace drydepth
