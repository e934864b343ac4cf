#include "guard/verdict.h"

#include <catch2/catch.hpp>

using namespace drydepth;

TEST_CASE("the verdict of a tool for support counts as told") {
  struct Row {
    Verdict verdict, less;
  };
  const Row rows[] = {{Verdict::kStaysDry, Verdict::kStaysDry},
                      {Verdict::kMayCross, Verdict::kStaysDry},
                      {Verdict::kWillCross, Verdict::kMayCross},
                      {Verdict::kCannotTell, Verdict::kMayCross}};
  for (const Row& row : rows) {
    INFO(verdict_name(row.verdict));
    CHECK(weighed(row.verdict, SupportWeight::kSame) == row.verdict);
    CHECK(weighed(row.verdict, SupportWeight::kLess) == row.less);
    CHECK(weighed(row.verdict, SupportWeight::kIgnore) == Verdict::kStaysDry);
  }
  for (const char* word : {"same", "less", "ignore"}) {
    CHECK(support_weight_name(*read_support_weight(word)) == word);
  }
  CHECK_FALSE(read_support_weight("Less"));
}
