#include "base/digests.h"

#include <catch2/catch.hpp>

using namespace drydepth;

TEST_CASE("digests are those of FIPS 180-4") {
  // The one-block and the two-block message of NIST's examples for FIPS 180 (SHA-256),
  // and the empty message of its test vectors (from memory; sha256sum agrees).
  const struct {
    const char* text;
    const char* digest;
  } rows[] = {
      {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
      {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
      {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
       "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"}};
  for (const auto& row : rows) {
    INFO(row.text);
    CHECK(sha256_hex(row.text) == row.digest);
    Sha256 in_pieces;
    for (const char* c = row.text; *c != 0; ++c) in_pieces.add({c, 1});
    CHECK(in_pieces.hex() == row.digest);
  }
}
