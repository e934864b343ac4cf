#include "gcode/container/inflate.h"

#include <zlib.h>

#include <vector>

namespace drydepth {
namespace {

constexpr int kGzipWindow = 15 + 16;  // zlib's number for the gzip wrapping

/// Owns the state of one unpacking.
class Inflater {
 public:
  Inflater()
      : good_(inflateInit2(&stream_, kGzipWindow) == Z_OK), out_(kFilePieceBytes) {}
  Inflater(const Inflater&) = delete;
  Inflater& operator=(const Inflater&) = delete;
  ~Inflater() { inflateEnd(&stream_); }

  /// False once the sink wants no more or the data is broken.
  bool feed(std::string_view packed, const ByteSink& sink) {
    stream_.next_in =
        reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));  // zlib's old API
    stream_.avail_in = static_cast<uInt>(packed.size());
    while (good_ && stream_.avail_in > 0) {
      if (ended_) good_ = inflateReset(&stream_) == Z_OK;
      if (!step(sink)) return false;
    }
    return good_;
  }
  bool good() const { return good_; }
  bool ended() const { return ended_; }

 private:
  bool step(const ByteSink& sink) {
    stream_.next_out = reinterpret_cast<Bytef*>(out_.data());
    stream_.avail_out = static_cast<uInt>(out_.size());
    const int status = inflate(&stream_, Z_NO_FLUSH);
    ended_ = status == Z_STREAM_END;
    good_ = ended_ || status == Z_OK;
    const std::size_t made = out_.size() - stream_.avail_out;
    return (made == 0 || sink({out_.data(), made})) && good_;
  }

  z_stream stream_ = {};
  bool good_ = false;
  bool ended_ = false;
  std::vector<char> out_;
};

}  // namespace

Result<Done> unpack_gzip(const ByteSource& packed, const ByteSink& out) {
  Inflater inflater;
  bool stopped = false;
  const ByteSink sink = [&](std::string_view piece) {
    stopped = stopped || !out(piece);
    return !stopped;
  };
  const auto read =
      packed.read([&](std::string_view piece) { return inflater.feed(piece, sink); });
  if (!read) return read.error();
  if (stopped || (inflater.good() && inflater.ended())) return Done{};
  return Error{packed.name,
               inflater.good() ? "the gzip data ends before its time"
                               : "the gzip data is broken",
               "fetch or export the file again"};
}

std::optional<std::string> unpack_zlib(std::string_view packed, std::size_t size) {
  std::string out(size, '\0');
  auto made = static_cast<uLongf>(size);
  const int status =
      uncompress(reinterpret_cast<Bytef*>(out.data()), &made,
                 reinterpret_cast<const Bytef*>(packed.data()), packed.size());
  if (status != Z_OK) return std::nullopt;
  out.resize(made);
  return out;
}

}  // namespace drydepth
