#include "base/digests.h"

#include <openssl/evp.h>
#include <zlib.h>

#include <array>
#include <stdexcept>

namespace drydepth {
namespace {

// Without memory, or under a policy that forbids the algorithm.
void must(int status) {
  if (status != 1) throw std::runtime_error("the cryptography library gives no digest");
}

class Digest {
 public:
  explicit Digest(const EVP_MD* algorithm) {
    must(context_ != nullptr ? 1 : 0);
    must(EVP_DigestInit_ex(context_.get(), algorithm, nullptr));
  }

  void add(std::string_view bytes) {
    must(EVP_DigestUpdate(context_.get(), bytes.data(), bytes.size()));
  }

  std::string hex() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned size = 0;
    must(EVP_DigestFinal_ex(context_.get(), digest.data(), &size));
    constexpr std::string_view kDigits = "0123456789abcdef";
    std::string out;
    for (std::size_t k = 0; k < size; ++k) {
      out += kDigits[digest[k] >> 4];
      out += kDigits[digest[k] & 15];
    }
    return out;
  }

 private:
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context_{EVP_MD_CTX_new(),
                                                                   &EVP_MD_CTX_free};
};

}  // namespace

struct Sha256::State {
  Digest digest{EVP_sha256()};
};

Sha256::Sha256() : state_(std::make_unique<State>()) {}
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256::~Sha256() = default;

void Sha256::add(std::string_view bytes) { state_->digest.add(bytes); }

std::string Sha256::hex() { return state_->digest.hex(); }

std::string sha256_hex(std::string_view bytes) {
  Sha256 digest;
  digest.add(bytes);
  return digest.hex();
}

std::string md5_hex(std::string_view bytes) {
  Digest digest(EVP_md5());
  digest.add(bytes);
  return digest.hex();
}

std::uint32_t crc32_of(std::string_view bytes, std::uint32_t before) {
  return static_cast<std::uint32_t>(
      crc32_z(before, reinterpret_cast<const Bytef*>(bytes.data()), bytes.size()));
}

}  // namespace drydepth
