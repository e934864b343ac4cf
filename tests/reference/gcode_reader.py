#!/usr/bin/env python3
"""An independent, slow and exact reader of G-code: lengths and layers of plain jobs.

    gcode_reader.py FILE...                  prints what it finds
    gcode_reader.py DUMP_JOB DATA_FOLDER     compares with the tool on every sample

Written apart from the tool's reader, from the documents on G-code alone: decimal
fractions instead of floating point, regular expressions instead of a scanner, the whole
file at once. Knows absolute and relative E (M82, M83; G90 and G91 for the axes), G92,
volumes (the setting use_volumetric_e, and the FLAVOR line of one slicer), M221, inches,
E under the letter A, and tools; no arcs, for the length of a path is no matter here.
"""
import json
import pathlib
import re
import subprocess
import sys
from fractions import Fraction
from math import pi

WORD = re.compile(r"([A-Za-z])\s*([-+]?(?:\d+\.?\d*|\.\d+))")
MARKS = (r"^;LAYER_CHANGE\b", r"^;LAYER:-?\d+", r"^; CHANGE_LAYER\b")
TOLERANCE_MM = 1e-6


class Job:
    def __init__(self, text):
        self.lines = text.split("\n")
        self.letter = "E"
        if re.search(r"^; gcode_flavor = (mach3|machinekit)$", text, re.M):
            self.letter = "A"
        volumes = re.search(r"^; use_volumetric_e = 1$", text, re.M) or re.search(
            r"^;FLAVOR:(UltiGCode|.*Volumetric)", text, re.M)
        diameter = re.search(r"^; filament_diameter = ([\d.]+)", text, re.M)
        self.section = None
        if volumes:
            d = float(diameter[1]) if diameter else 1.75
            self.section = pi / 4 * d * d
        self.unit = Fraction(1)
        self.relative_axes = self.relative_e = False
        self.z = self.last_layer_z = Fraction(0)
        self.at = {}
        self.e = Fraction(0)
        self.tool = 0
        self.flow = Fraction(1)
        self.net, self.peak = {}, {}
        self.marked = sum(bool(re.match(MARKS[0], l)) for l in self.lines) or sum(
            bool(re.match(MARKS[1], l)) for l in self.lines) or sum(
            bool(re.match(MARKS[2], l)) for l in self.lines)
        self.risen = 0

    def read(self):
        for line in self.lines:
            code = line.split(";")[0].strip()
            if code and not code.startswith("("):
                self.command(code)
        return self

    def command(self, code):
        words = WORD.findall(code)
        if not words or not code[0].isupper():
            return
        name = words[0][0] + str(int(Fraction(words[0][1])))
        values = {k.upper(): Fraction(v) for k, v in words[1:]}
        if name in ("G0", "G1", "G2", "G3"):
            self.move(values)
        elif name in ("G20", "G21"):
            self.unit = Fraction("25.4") if name == "G20" else Fraction(1)
        elif name in ("G90", "G91"):
            self.relative_axes = name == "G91"
        elif name in ("M82", "M83"):
            self.relative_e = name == "M83"
        elif name == "G92":
            self.e = values.get(self.letter, self.e)
            self.z = values.get("Z", self.z)
        elif name == "M221" and "S" in values:
            self.flow = values["S"] / 100
        elif code[0] == "T":
            self.tool = int(words[0][1])

    def move(self, values):
        moved = False
        for axis in "XYZ":
            if axis not in values:
                continue
            to = values[axis] * self.unit
            if self.relative_axes:
                to += self.at.get(axis, 0)
            moved = moved or (axis != "Z" and to != self.at.get(axis, 0))
            self.at[axis] = to
        if self.letter not in values:
            return
        word = values[self.letter]
        step = word if self.relative_e else word - self.e
        self.e = self.e + word if self.relative_e else word
        if step > 0 and moved and self.at.get("Z", 0) > self.last_layer_z:
            self.risen += 1
            self.last_layer_z = self.at.get("Z", 0)
        net = self.net.get(self.tool, 0) + step * self.unit * self.flow
        self.net[self.tool] = net
        self.peak[self.tool] = max(self.peak.get(self.tool, 0), net)

    def lengths(self):
        """(tool, peak, final net) in mm of the tools that extrude."""
        section = self.section or 1
        return [(t, float(p) / section, float(self.net[t]) / section)
                for t, p in sorted(self.peak.items()) if p > 0]

    def layers(self):
        return self.marked or self.risen


def compare(dump, folder):
    failures = 0
    samples = sorted(pathlib.Path(folder).glob("*.gcode"))
    for sample in samples:
        found = json.loads(subprocess.run([dump, "trace", sample], check=True,
                                          capture_output=True, timeout=120).stdout)
        job = Job(sample.read_text("latin-1")).read()
        theirs = [(t["tool"], t["length_mm"], t["net_mm"]) for t in found["tools"]]
        ours = job.lengths()
        same = len(ours) == len(theirs) and all(
            a[0] == b[0] and abs(a[1] - b[1]) < TOLERANCE_MM
            and abs(a[2] - b[2]) < TOLERANCE_MM for a, b in zip(ours, theirs))
        if not same or job.layers() != len(found["layers"]):
            failures += 1
            print(f"{sample.name}: the tool says {theirs}, {len(found['layers'])} "
                  f"layers; this reader {ours}, {job.layers()} layers")
    print(f"{len(samples) - failures} of {len(samples)} samples agree")
    return 1 if failures or not samples else 0


if __name__ == "__main__":
    if len(sys.argv) == 3 and pathlib.Path(sys.argv[2]).is_dir():
        sys.exit(compare(sys.argv[1], sys.argv[2]))
    for path in sys.argv[1:]:
        job = Job(pathlib.Path(path).read_text("latin-1")).read()
        print(path, job.lengths(), job.layers())
