#!/usr/bin/env python3
"""The label as a printer and a scanner see it.

  label_test.py path/to/drydepth path/to/source

rsvg-convert draws it, an independent decoder (zbarimg) reads the code back, and no ink
lies beyond the label's edges. Skipped (77) where one of the two is not installed.
"""

import hashlib
import json
import pathlib
import re
import shutil
import struct
import subprocess
import sys
import tempfile
import zlib

# Invented ids: what is usual, as long as a shelf takes and longer, markup, and letters
# beyond ASCII.
IDS = ["K-07", "W" * 80, "<script>alert(1)</script>", "a & b \"c\"", "Gr\u00fcn 7",
       "\u65e5\u672c 3"]
LABELS = [*((spool, "60x30mm") for spool in IDS),
          *((spool, size) for spool in IDS[:2] for size in ("100x50", "A7"))]


def write_label(tool, record, svg, size):
    """Writes the label; where it is refused as too small, in the size that would do."""
    words = [tool, "label", record, "--at", "2026-03-06T06:30:00Z", "--members", "32",
             "-o", svg]
    done = subprocess.run([*words, "--size", size], stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        would = re.search(r"of this shape (\S+) would do$", done.stderr.strip())
        subprocess.run([*words, "--size", would[1]], check=True)


def darkness(png):
    """Rows of grey values of an 8-bit RGBA picture, by the PNG specification."""
    data = png.read_bytes()
    width, height, depth, kind = struct.unpack(">IIBB", data[16:26])
    assert (depth, kind) == (8, 6), (depth, kind)
    at, packed = 8, b""
    while at < len(data):
        size, = struct.unpack(">I", data[at:at + 4])
        if data[at + 4:at + 8] == b"IDAT":
            packed += data[at + 8:at + 8 + size]
        at += size + 12
    raw, stride, before, rows = zlib.decompress(packed), width * 4, bytes(width * 4), []
    for y in range(height):
        rule, line = raw[y * (stride + 1)], bytearray(
            raw[y * (stride + 1) + 1:(y + 1) * (stride + 1)])
        for i in range(stride):
            left = line[i - 4] if i >= 4 else 0
            corner = before[i - 4] if i >= 4 else 0
            guess = left + before[i] - corner
            near = min((left, before[i], corner), key=lambda v: abs(guess - v))
            line[i] = (line[i] + (0, left, before[i], (left + before[i]) // 2,
                                  near)[rule]) % 256
        before = bytes(line)
        rows.append([255 - line[i + 3] * (255 - line[i]) // 255
                     for i in range(0, stride, 4)])
    return rows


def draw(svg, png, width_mm, pixels_per_mm):
    subprocess.run(["rsvg-convert", "--width", str(round(width_mm * pixels_per_mm)),
                    "-o", png, svg], check=True)


def ink_beyond(folder, svg, width, height):
    """Dark pixels outside of the label once its clip is widened by 10 mm around."""
    wide = folder / "wide.svg"
    text = svg.read_text(encoding="utf-8")
    head = (f'width="{width + 20:g}mm" height="{height + 20:g}mm" '
            f'viewBox="-10 -10 {width + 20:g} {height + 20:g}"')
    wide.write_text(re.sub(r'width="\S+mm" height="\S+mm" viewBox="[^"]*"', head, text,
                           count=1), encoding="utf-8")
    scale = 4
    draw(wide, folder / "wide.png", width + 20, scale)
    edge, out = 10 * scale, 0
    for y, row in enumerate(darkness(folder / "wide.png")):
        inside = edge <= y < edge + height * scale
        out += sum(v < 128 for x, v in enumerate(row)
                   if not (inside and edge <= x < edge + width * scale))
    return out


def main():
    tool, source = sys.argv[1], pathlib.Path(sys.argv[2])
    for need in ("rsvg-convert", "zbarimg"):
        if not shutil.which(need):
            print(f"no {need}: skipped")
            return 77
    record = json.loads((source / "samples/shelf/K-07.json").read_text())
    # Ranges without a fit of each id.
    record["events"] = [e for e in record["events"] if e["type"] != "weighing"]
    failures = []
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        path, svg, png = (folder / f"label.{kind}" for kind in ("json", "svg", "png"))
        for spool, size in LABELS:
            path.write_text(json.dumps({**record, "id": spool}), encoding="utf-8")
            digest = hashlib.sha256(path.read_bytes()).hexdigest()[:16]
            write_label(tool, path, svg, size)
            width, height = (float(v) for v in re.search(
                r'width="(\S+)mm" height="(\S+)mm"',
                svg.read_text(encoding="utf-8")).groups())
            draw(svg, png, width, 8)  # the dots of a printer of 203 dpi
            read = subprocess.run(["zbarimg", "--quiet", "--raw", png],
                                  capture_output=True).stdout.decode()
            if read != f"{spool} sha256:{digest}\n":
                failures.append(f"{spool} on {size}: read {read!r}")
            beyond = ink_beyond(folder, svg, width, height)
            if beyond:
                failures.append(f"{spool} on {size}: {beyond} pixels of ink beyond")
    print("\n".join(failures) or f"{len(LABELS)} labels read back")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
