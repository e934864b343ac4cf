"""Packs G-code the ways hosts do: heatshrink, MeatPack, binary G-code, 3MF.

Written from the formats' documents, apart from the tool's unpackers and only for its
tests: simple, slow, and free in the choices that a format leaves to the packer.
"""
import hashlib
import struct
import zipfile
import zlib

COMMON = "0123456789. \nGX"


def heatshrink(data, window, lookahead):
    """A greedy packer: the longest match within the window, by a table of pairs."""
    bits = []

    def put(value, count):
        bits.extend(value >> (count - 1 - k) & 1 for k in range(count))

    reach, longest = 1 << window, 1 << lookahead
    seen = {}
    at = 0
    while at < len(data):
        best, far = 0, 0
        for start in reversed(seen.get(data[at:at + 3], [])[-16:]):
            if at - start > reach:
                break
            length = 3
            while (length < longest and at + length < len(data)
                   and data[start + length] == data[at + length]):
                length += 1
            if length > best:
                best, far = length, at - start
        step = max(best, 1)
        if best:
            put(0, 1)
            put(far - 1, window)
            put(best - 1, lookahead)
        else:
            put(1, 1)
            put(data[at], 8)
        for k in range(at, at + step):
            seen.setdefault(data[k:k + 3], []).append(k)
        at += step
    bits.extend([0] * (-len(bits) % 8))
    return bytes(int("".join(map(str, bits[k:k + 8])), 2) for k in range(0, len(bits), 8))


def without_blanks(line):
    """A move without blanks, as the packers of hosts write them; others as they are."""
    code, semicolon, comment = line.partition(";")
    if not code.startswith("G") or "(" in code:
        return line
    return code.replace(" ", "") + semicolon + comment


def meatpack(text, spaceless):
    """All of a text packed in pairs; a line end never stands first in a pair."""
    table = {c: k for k, c in enumerate(COMMON)}
    if spaceless:
        text = "".join(without_blanks(l) for l in text.splitlines(keepends=True))
        del table[" "]
        table["E"] = 11
    out = bytearray(b"\xff\xff\xfb")
    if spaceless:
        out += b"\xff\xff\xf7"
    raw = text.encode("latin-1")
    at = 0
    while at < len(raw):
        first = chr(raw[at])
        if first == "\n" or at + 1 == len(raw):
            # In the first half, with a filler behind it.
            low = table.get(first, 15)
            out.append(low | 0xc0)
            if low == 15:
                out.append(raw[at])
                # The filler is a line end that the text does not have.
            at += 1
            continue
        second = chr(raw[at + 1])
        low, high = table.get(first, 15), table.get(second, 15)
        out.append(low | high << 4)
        out += bytes([raw[at]] if low == 15 else [])
        out += bytes([raw[at + 1]] if high == 15 else [])
        at += 2
    return bytes(out)


def block(kind, data, compression, encoding, checked):
    packed = {0: lambda d: d,
              1: zlib.compress,
              2: lambda d: heatshrink(d, 11, 4),
              3: lambda d: heatshrink(d, 12, 4)}[compression](data)
    head = struct.pack("<HHI", kind, compression, len(data))
    if compression:
        head += struct.pack("<I", len(packed))
    parameters = (struct.pack("<HHH", 0, 16, 16) if kind == 5
                  else struct.pack("<H", encoding))
    whole = head + parameters + packed
    return whole + (struct.pack("<I", zlib.crc32(whole)) if checked else b"")


def binary(text, metadata, compression=3, encoding=2, checked=True, piece=1 << 16):
    """Binary G-code: metadata is {kind: [(key, value)]}; commands in pieces."""
    out = b"GCDE" + struct.pack("<IH", 1, 1 if checked else 0)
    for kind in (0, 3, 4, 2):
        lines = "".join(f"{k}={v}\n" for k, v in metadata.get(kind, []))
        out += block(kind, lines.encode(), 1 if kind == 2 else 0, 0, checked)
        if kind == 3:
            out += block(5, b"no picture", 0, 0, checked)
    lines = text.splitlines(keepends=True)
    part, size = [], 0
    pieces = []
    for line in lines:
        part.append(line)
        size += len(line)
        if size >= piece - 200:
            pieces.append("".join(part))
            part, size = [], 0
    if part:
        pieces.append("".join(part))
    for chunk in pieces:
        data = (chunk.encode("latin-1") if encoding == 0
                else meatpack(chunk, spaceless=True))
        out += block(1, data, compression, encoding, checked)
    return out


def blocks_of(whole):
    """The blocks of binary G-code: kind, compression, encoding, data; sums checked."""
    magic, version, checked = struct.unpack_from("<4sIH", whole)
    assert (magic, version) == (b"GCDE", 1)
    at, out = 10, []
    while at < len(whole):
        kind, compression, size = struct.unpack_from("<HHI", whole, at)
        start, head = at, 12 if compression else 8
        if compression:
            size, = struct.unpack_from("<I", whole, at + 8)
        encoding, = struct.unpack_from("<H", whole, at + head)
        at += head + (6 if kind == 5 else 2) + size
        if checked:
            assert struct.unpack_from("<I", whole, at)[0] == zlib.crc32(whole[start:at])
        out.append((kind, compression, encoding, whole[at - size:at]))
        at += 4 if checked else 0
    assert at == len(whole)
    return out


def project(path, plates, digests=True, capitals=True):
    """A 3MF file with the jobs of some plates, by number."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as z:
        z.writestr("[Content_Types].xml", "<Types/>")
        for number, text in plates.items():
            name = f"Metadata/plate_{number}.gcode"
            z.writestr(name, text)
            if digests:
                digest = hashlib.md5(text.encode()).hexdigest()
                z.writestr(name + ".md5", digest.upper() if capitals else digest)
        z.writestr("Metadata/model_settings.config", "<config/>")
