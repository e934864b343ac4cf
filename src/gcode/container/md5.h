#pragma once

#include <string>
#include <string_view>

namespace drydepth {

/// The MD5 digest (RFC 1321) in lower-case hexadecimals: a check against accidents that
/// packages of jobs carry, and nothing to trust.
std::string md5_hex(std::string_view bytes);

}  // namespace drydepth
