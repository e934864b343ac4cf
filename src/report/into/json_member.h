#pragma once

#include <string>
#include <string_view>

#include "base/json_text.h"
#include "base/result.h"

namespace drydepth {

/// The text of a JSON object with one of its members set: the value of that key is
/// replaced where it stands, or the member is added behind the last one. Every other
/// byte stays, so that numbers keep their spelling and keys their order; what is
/// written follows the indentation and the line ends of the document. Error (exit 65)
/// for what is no JSON object, or holds a key twice.
Result<std::string> put_json_member(std::string_view text, std::string_view file,
                                    std::string_view key, const Json& value);

}  // namespace drydepth
