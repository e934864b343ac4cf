#include "gcode/container/container.h"

#include <catch2/catch.hpp>
#include <filesystem>

#include "base/digests.h"
#include "gcode/container/heatshrink.h"
#include "gcode/container/inflate.h"
#include "gcode/container/meatpack.h"
#include "gcode/job.h"

// Whole packed jobs are checked by container_test.py, whose packers share nothing with
// the unpackers here.

using namespace drydepth;

namespace {

std::string bytes(std::initializer_list<int> values) {
  std::string out;
  for (const int v : values) out.push_back(static_cast<char>(v));
  return out;
}

std::string temporary(const std::string& name, std::string_view content) {
  const auto path = std::filesystem::temp_directory_path() / name;
  REQUIRE(write_whole_file(path, content));
  return path.string();
}

std::string error_of(const std::string& path) {
  const auto job = open_job(path);
  if (!job) return job.error().text();
  const auto read = job->text.read([](std::string_view) { return true; });
  return read ? "" : read.error().text();
}

}  // namespace

// A published pair of bytes and text: examples/unpack_slice.rs of jamesgopsill/meatpack
// (MIT). It switches to the mode without blanks, and packs blanks as whole characters.
TEST_CASE("a published MeatPack example is unpacked") {
  const std::string packed = bytes(
      {255, 255, 251, 255, 255, 247, 255, 255, 250, 59,  32,  10,  255, 255, 251, 127,
       77,  243, 32,  15,  80,  255, 32,  82,  195, 127, 77,  243, 32,  15,  81,  255,
       32,  83,  195, 47,  77,  16,  239, 32,  4,   0,   255, 32,  89,  4,   0,   255,
       32,  90,  2,   240, 32,  43,  5,   192, 47,  77,  48,  239, 32,  3,   240, 32,
       63,  89,  0,   255, 32,  90,  4,   191, 32,  1,   192, 47,  77,  64,  255, 32,
       80,  4,   0,   255, 32,  82,  33,  0,   255, 32,  84,  4,   0});
  CHECK(unpack_meatpack(packed) ==
        "; \nM73 P0 R3\nM73 Q0 S3\nM201 X4000 Y4000 Z200 E2500\n"
        "M203 X300 Y300 Z40 E100\nM204 P4000 R1200 T4000");
}

TEST_CASE("MeatPack oddities") {
  const struct {
    const char* label;
    std::string packed;
    const char* text;
  } rows[] = {
      {"not packed", "G1 X1\n", "G1 X1\n"},
      {"a filler behind a line end", bytes({255, 255, 251, 0x21, 0xfc, 0x43}),
       "12\n34"},
      {"two whole characters", bytes({255, 255, 251, 255, 'A', 'B', 0x10}), "AB01"},
      {"reset", bytes({255, 255, 251, 0x10, 255, 255, 249, 'x'}), "01x"},
      {"blanks or E", bytes({255, 255, 251, 0xb1, 255, 255, 247, 0xb2}), "1 2E"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    CHECK(unpack_meatpack(row.packed) == row.text);
  }
}

// By hand: 1 and a byte is a byte; 0, a distance less one, a length less one.
TEST_CASE("heatshrink streams are unpacked, and short ones refused") {
  // "ab" as two bytes, then distance 2, length 4, with a window of 11 and 4 bits:
  // 1 01100001 1 01100010 0 00000000001 0011
  const std::string packed = bytes({0xb0, 0xd8, 0x80, 0x04, 0xc0});
  CHECK(unpack_heatshrink(packed, 11, 4, 6) == "ababab");
  CHECK(unpack_heatshrink(packed, 11, 4, 3) == "aba");
  CHECK_FALSE(unpack_heatshrink(packed, 11, 4, 9));
  CHECK(unpack_heatshrink("", 11, 4, 0) == "");
}

// RFC 1321, A.5.
TEST_CASE("MD5 of the standard's own examples") {
  const struct {
    const char* text;
    const char* digest;
  } rows[] = {
      {"", "d41d8cd98f00b204e9800998ecf8427e"},
      {"abc", "900150983cd24fb0d6963f7d28e17f72"},
      {"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789",
       "d174ab98d277d9f5a5611c2c9f419d9f"},
      {"1234567890123456789012345678901234567890123456789012345678901234567890123456789"
       "0",
       "57edf4a22be3c955ac49da2e2107b67a"},
  };
  for (const auto& row : rows) CHECK(md5_hex(row.text) == row.digest);
}

// ITU-T V.42 check value.
TEST_CASE("the checksum of binary G-code") {
  CHECK(crc32_of("123456789") == 0xcbf43926u);
  CHECK(crc32_of("6789", crc32_of("12345")) == 0xcbf43926u);
}

TEST_CASE("broken containers are refused in a sentence") {
  const std::string head = std::string("GCDE") + bytes({1, 0, 0, 0, 1, 0});
  // A block of commands, not packed, 4 bytes, no encoding, a wrong checksum.
  const std::string block = bytes({1, 0, 0, 0, 4, 0, 0, 0, 0, 0}) + "G28\n";
  const std::string hint = "; export the job again, or as text";
  const struct {
    const char* label;
    std::string content;
    std::string what;
  } rows[] = {
      {"version", std::string("GCDE") + bytes({2, 0, 0, 0, 1, 0}),
       "the binary G-code is broken at byte 0: only version 1 with CRC-32 or no "
       "checksum is known" +
           hint},
      {"short", head + bytes({1, 0, 0}),
       "the binary G-code is broken at byte 10: the file ends inside it" + hint},
      {"empty", head,
       "the binary G-code is broken at byte 10: there are no commands in the file" +
           hint},
      {"checksum", head + block + bytes({0, 0, 0, 0}),
       "the binary G-code is broken at byte 10: the checksum of a block is wrong" +
           hint},
      {"huge", head + bytes({1, 0, 0, 0, 0, 0, 0, 255, 0, 0}),
       "the binary G-code is broken at byte 10: a block claims more than 256 MB" +
           hint},
      {"gzip", bytes({0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3, 255, 255, 255}),
       "the gzip data is broken; fetch or export the file again"},
      {"gzip, short", bytes({0x1f, 0x8b, 8, 0}),
       "the gzip data ends before its time; fetch or export the file again"},
      {"zip", std::string("PK\x03\x04") + "????",
       "the packed project cannot be read (Not a zip archive); export it again, or "
       "give "
       "the .gcode file that lies inside it"},
  };
  for (const auto& row : rows) {
    INFO(row.label);
    const std::string path = temporary("drydepth_container_test", row.content);
    CHECK(error_of(path) == path + ": " + row.what);
    std::filesystem::remove(path);
  }
}

TEST_CASE("what cannot be written back is refused with the way out") {
  const std::string path = temporary("drydepth_container_test", "x");
  const TextMaker writer = [](const ByteSink& sink) {
    sink("y");
    return Result<Done>(Done{});
  };
  OpenJob job;
  job.container = Container::kBinary;
  const auto binary = write_job(path, job, writer);
  REQUIRE_FALSE(binary);
  CHECK(binary.error().text() ==
        path +
            ": binary G-code is read but not written; switch \"Use binary G-code\" off "
            "in the slicer's preferences and printer settings, and slice again");
  CHECK(binary.error().exit_code == 73);
  job.container = Container::kGzip;
  const auto gzip = write_job(path, job, writer);
  REQUIRE_FALSE(gzip);
  CHECK(gzip.error().text() ==
        path +
            ": a job packed with gzip is read but not written; unpack it, and give the "
            ".gcode file");
  CHECK(*read_whole_file(path) == "x");
  job.container = Container::kText;
  REQUIRE(write_job(path, job, writer));
  CHECK(*read_whole_file(path) == "y");
  std::filesystem::remove(path);
}
