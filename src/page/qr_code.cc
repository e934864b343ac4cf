#include "page/qr_code.h"

#include <qrencode.h>

#include <algorithm>
#include <memory>

namespace drydepth {
namespace {

using Input = std::unique_ptr<QRinput, decltype(&QRinput_free)>;
using Code = std::unique_ptr<QRcode, decltype(&QRcode_free)>;

// Says that the bytes are UTF-8 where that matters: without a word readers guess.
Code encoded(std::string_view bytes) {
  constexpr unsigned kUtf8 = 26;  // its number among the character sets of ECI
  const Input input(QRinput_new2(0, QR_ECLEVEL_M), QRinput_free);
  const bool ascii =
      std::all_of(bytes.begin(), bytes.end(), [](char c) { return (c & 0x80) == 0; });
  const auto* data = reinterpret_cast<const unsigned char*>(bytes.data());
  const bool taken =
      input && (ascii || QRinput_appendECIheader(input.get(), kUtf8) == 0) &&
      QRinput_append(input.get(), QR_MODE_8, static_cast<int>(bytes.size()), data) == 0;
  return Code(taken ? QRcode_encodeInput(input.get()) : nullptr, QRcode_free);
}

}  // namespace

Result<QrCode> qr_code(std::string_view bytes) {
  const Code code = encoded(bytes);
  if (!code) {
    return Error{"",
                 "a QR code cannot hold the " + std::to_string(bytes.size()) +
                     " bytes that it should",
                 "give the spool a shorter id"};
  }
  QrCode out{.side = static_cast<std::size_t>(code->width), .dark = {}};
  for (std::size_t k = 0; k < out.side * out.side; ++k) {
    out.dark.push_back((code->data[k] & 1U) != 0);
  }
  return out;
}

}  // namespace drydepth
