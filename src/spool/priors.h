#pragma once

#include <optional>
#include <string>
#include <vector>

#include "inference/ensemble.h"
#include "moisture/body.h"
#include "record/record.h"
#include "rules/bodies.h"
#include "rules/materials.h"

namespace drydepth {

/// A body that the filament was wound over to. Its tare is no unknown of the members:
/// see TareDoubt.
struct LaterBody {
  double tare_kg = 0;
  double tare_sd_kg = 0;
  std::optional<BodyLaw> water{};
};

/// What is known of a spool before its history: central values and their spread.
struct SpoolPriors {
  Priors spread{};
  double opening_content = 0;  ///< kg/kg
  double opening_temperature_k = 0;
  double tare_kg = 0;
  std::optional<BodyLaw> body{};          ///< of a body that holds water
  std::vector<LaterBody> later_bodies{};  ///< one a respool, in order
  std::vector<std::string> notes{};  ///< what was assumed because the record is silent
};
/// later: the bodies of the record's respools, in order; missing ones hold no water.
SpoolPriors spool_priors(const SpoolRecord& record, const Material& material,
                         const Body& body, const std::vector<Body>& later = {});

/// The tare of one of its bodies (0: the first one), kg.
double tare_of(const SpoolPriors& priors, std::size_t body);

}  // namespace drydepth
