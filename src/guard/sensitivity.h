#pragma once

// What an estimate hangs on: the unknowns of its ensemble, one by one.
//
// Two views of each. Its share in the spread says how much of the range there is
// because this unknown is open, through the model and through the weighings: a tare
// moves no water, but a reading that is fitted with a heavier one says that the
// filament is drier. The answer with that unknown alone moved says what the model does
// with it, as in the table of docs/model.md.

#include <array>
#include <optional>
#include <vector>

#include "guard/race.h"

namespace drydepth {

/// An estimate in two numbers.
struct Answer {
  double depth_kg = 0;  ///< dry depth of the limit asked for
  double mean = 0;      ///< kg/kg
};

/// An unknown, by its place in a member's vector of normals (to_normals).
struct InputEffect {
  std::size_t unknown = 0;
  std::array<Member, 2> moved{};  ///< it alone at -1 and +1 sd about the middle
  std::array<Answer, 2> answer{};
  double depth_share = 0, mean_share = 0;      ///< in the spread; may be just below 0
  double depth_narrows = 0, mean_narrows = 0;  ///< of its sd, were it alone known
};

struct Sensitivity {
  std::size_t members = 0;
  Answer middle{};  ///< with every unknown at its mean over the members
  /// Largest share first: of the depth, or of the mean where no depth varies. Only
  /// unknowns that change an answer or a reading foreseen.
  std::vector<InputEffect> inputs{};
  bool depth_varies = false, mean_varies = false;
  double depth_unexplained = 0, mean_unexplained = 0;
  double share_sd = 0;  ///< the largest standard deviation of a share
  /// The record's air is taken as exact. Were its humidity kHumiditySd lower or higher
  /// throughout; nothing where all of it was logged.
  std::optional<std::array<Answer, 2>> humidity{};
};

/// What makers state of the hygrometers that people hang in rooms: +-5 % RH (a
/// home-energy extension's page; read, medium).
constexpr double kHumiditySd = 0.05;

/// limit: of the depth, kg/kg. Members as many as three an unknown and more (39), else
/// there are no shares. Same result whatever the number of threads (0: all).
Sensitivity find_sensitivity(const Spool& spool, double limit,
                             const std::vector<Member>& members, unsigned threads);

}  // namespace drydepth
