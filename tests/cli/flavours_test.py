#!/usr/bin/env python3
"""Jobs of real slicers in every flavour of G-code that they offer, read and guarded:

    flavours_test.py DRYDEPTH DUMP_JOB SAMPLES READER_FOLDER SCRATCH

For each one the reader written apart from the tool agrees on lengths and layers, the
firmware is the one that the flavour stands for, what the slicer states of length or
volume is what was read, and a guarded job is restored to the byte. Ends with 77
(skipped) where a slicer is missing and all else is well. CuraEngine needs the printer
definitions of Debian's package cura, which is unpacked into SCRATCH, not installed.
Flavours: PrusaSlicer 2.5.0, Slic3r 1.3.0 (their --help), CuraEngine 4.13.0 (its
definitions).
"""
import json
import math
import os
import pathlib
import re
import shutil
import subprocess
import sys

TOOL, DUMP, SAMPLES, READER, SCRATCH = (pathlib.Path(w).resolve() for w in sys.argv[1:6])
sys.path.insert(0, str(READER))
import gcode_reader  # noqa: E402

FIRMWARE = {
    "reprap": "marlin1", "teacup": "marlin1", "marlin": "marlin1", "marlin2": "marlin",
    "reprapfirmware": "reprapfirmware", "repetier": "repetier", "makerware": "makerbot",
    "sailfish": "makerbot", "mach3": "mach3", "machinekit": "mach3",
    "smoothie": "smoothie", "no-extrusion": None,
}
CURA_FIRMWARE = {
    "RepRap (Marlin/Sprinter)": "marlin", "RepRap (Volumetric)": "marlin",
    "RepRap (RepRap)": "reprapfirmware", "UltiGCode": "ultimaker",
    "Griffin": "ultimaker", "Makerbot": "makerbot", "BFB": None, "MACH3": "mach3",
    "Repetier": "repetier",
}
failures, skipped, passed = [], [], 0


def run(*words, **more):
    return subprocess.run([str(w) for w in words], capture_output=True, text=True,
                          timeout=120, **more)


def check(label, good, said=""):
    global passed
    if good:
        passed += 1
    else:
        failures.append(f"{label}: {said}"[:400])


def block(x, y, z):
    """A box as STL, sizes in mm."""
    corners = [(0, 0, 0), (x, 0, 0), (x, y, 0), (0, y, 0),
               (0, 0, z), (x, 0, z), (x, y, z), (0, y, z)]
    faces = [(0, 2, 1), (0, 3, 2), (4, 5, 6), (4, 6, 7), (0, 1, 5), (0, 5, 4),
             (1, 2, 6), (1, 6, 5), (2, 3, 7), (2, 7, 6), (3, 0, 4), (3, 4, 7)]
    out = ["solid block"]
    for face in faces:
        out += ["facet normal 0 0 0", "outer loop"]
        out += ["vertex %g %g %g" % corners[k] for k in face]
        out += ["endloop", "endfacet"]
    return "\n".join(out + ["endsolid block"]) + "\n"


def stated_mm(text):
    """What the slicer states of the whole length; nothing where it states none."""
    found = re.search(r"^; filament used(?: \[mm\])? = ([\d.]+)", text, re.M)
    return float(found[1]) if found else None


def read_and_guard(label, job, firmware, stated, relative=False, letter=None):
    text = job.read_text("latin-1")
    found = run(DUMP, "trace", job)
    if found.returncode != 0:
        return check(f"{label}: read", False, found.stderr)
    trace = json.loads(found.stdout)
    theirs = [(t["tool"], t["length_mm"], t["net_mm"]) for t in trace["tools"]]
    reader = gcode_reader.Job(text)
    # Some flavours have no command for relative E: only the settings tell.
    reader.relative_e = "; use_relative_e_distances = 1" in text or relative
    reader.letter = letter or reader.letter
    reader.read()
    ours = reader.lengths()
    check(f"{label}: lengths", len(ours) == len(theirs) and all(
        a[0] == b[0] and abs(a[1] - b[1]) < gcode_reader.TOLERANCE_MM
        and abs(a[2] - b[2]) < gcode_reader.TOLERANCE_MM for a, b in zip(ours, theirs)),
        f"{theirs}, the other reader {ours}")
    check(f"{label}: layers", reader.layers() == len(trace["layers"]),
          f"{len(trace['layers'])}, the other reader {reader.layers()}")
    if firmware:
        check(f"{label}: firmware", trace["firmware"] == firmware, trace["firmware"])
    if stated:
        peak, net = theirs[0][1:]
        # The last retraction in or out; whole mm3, priming by the start G-code apart.
        check(f"{label}: stated", net - 4 < stated < peak + 1,
              f"stated {stated}, read {theirs}")
    before = job.read_bytes()
    guarded = run(TOOL, "guard", "--nominal", "--spool", SAMPLES / "shelf" / "K-07.json",
                  "--at", "2026-03-06T06:30:00Z", job)
    check(f"{label}: guard", guarded.returncode == 0, guarded.stderr)
    check(f"{label}: a note", b";drydepth:begin note" in job.read_bytes(), "none")
    restored = run(TOOL, "restore", job)
    check(f"{label}: restore", job.read_bytes() == before, restored.stderr)


def no_extrusion(label, job):
    """A job that feeds nothing is refused with a sentence and left alone."""
    before = job.read_bytes()
    said = run(TOOL, "guard", "--nominal", "--spool", SAMPLES / "shelf" / "K-07.json", job)
    check(f"{label}: refused", said.returncode == 65 and "extru" in said.stderr,
          f"{said.returncode} {said.stderr}")
    check(f"{label}: as it was", job.read_bytes() == before)


def prusa(flavour, relative, part, job):
    words = ["--gcode-flavor", flavour]
    if relative:
        words += ["--use-relative-e-distances", "--layer-gcode", "G92 E0"]
    return run("prusa-slicer", "--export-gcode", part, "-o", job,
               "--filament-type", "NYLON", *words)


def slic3r(flavour, relative, part, job):
    more = ["--use-relative-e-distances"] if relative else []
    return run("slic3r", "--no-gui", part, "-o", job,
               "--gcode-flavor", flavour, *more)


def slic3r_family(name, slice_one, flavours, part, work):
    for flavour in flavours:
        for relative in (False, True):
            if flavour == "no-extrusion" and relative:
                continue
            label = f"{name} {flavour}{', relative E' if relative else ''}"
            job = work / "job.gcode"
            job.unlink(missing_ok=True)
            sliced = slice_one(flavour, relative, part, job)
            if not job.exists():
                check(f"{label}: slice", False, sliced.stdout + sliced.stderr)
            elif flavour == "no-extrusion":
                no_extrusion(label, job)
            else:
                # Slic3r 1.3.0 states no use under its own relative E.
                stated = None if relative and name == "Slic3r" else stated_mm(
                    job.read_text("latin-1"))
                read_and_guard(label, job, FIRMWARE[flavour], stated, relative)


def cura_resources():
    installed = pathlib.Path("/usr/share/cura/resources")
    unpacked = SCRATCH / "cura" / "usr/share/cura/resources"
    if installed.exists() or unpacked.exists():
        return installed if installed.exists() else unpacked
    run("apt-get", "download", "cura", cwd=SCRATCH)
    for package in SCRATCH.glob("cura_*.deb"):
        run("dpkg-deb", "-x", package, SCRATCH / "cura")
        package.unlink()
    return unpacked if unpacked.exists() else None


def cura(resources, part, work):
    folder = resources / "definitions"
    definition = json.loads((folder / "fdmprinter.def.json").read_text())
    machine = definition["settings"]["machine_settings"]["children"]
    environment = dict(os.environ,
                       CURA_ENGINE_SEARCH_PATH=f"{folder}:{resources / 'extruders'}")
    for flavour in machine["machine_gcode_flavor"]["options"]:
        label, job = f"CuraEngine {flavour}", work / "job.gcode"
        job.unlink(missing_ok=True)
        sliced = run("CuraEngine", "slice", "-v", "-j", folder / "fdmprinter.def.json",
                     "-s", f"machine_gcode_flavor={flavour}", "-s", "layer_height=0.2",
                     "-e0", "-s", "material_diameter=1.75", "-l", part, "-o", job,
                     env=environment)
        if not job.exists():
            check(f"{label}: slice", False, sliced.stderr[-300:])
            continue
        if flavour == "BFB":
            no_extrusion(label, job)
            continue
        volume = re.search(r"Filament \(mm\^3\): (\d+)", sliced.stdout + sliced.stderr)
        stated = float(volume[1]) / (math.pi / 4 * 1.75 ** 2) if volume else None
        read_and_guard(label, job, CURA_FIRMWARE.get(flavour), stated,
                       letter="A" if flavour == "MACH3" else None)


def main():
    work = SCRATCH / "flavours"
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir(parents=True)
    part = work / "part.stl"
    part.write_text(block(15, 15, 8))
    # All flavours of the two, as their --help lists them.
    slic3r_own = ["reprap", "teacup", "repetier", "makerware", "sailfish", "mach3",
                  "machinekit", "smoothie", "no-extrusion"]
    hosts = (("PrusaSlicer", "prusa-slicer", prusa, list(FIRMWARE)),
             ("Slic3r", "slic3r", slic3r, slic3r_own))
    for name, program, slice_one, flavours in hosts:
        if shutil.which(program):
            slic3r_family(name, slice_one, flavours, part, work)
        else:
            skipped.append(f"{program} is not installed")
    resources = cura_resources() if shutil.which("CuraEngine") else None
    if resources:
        cura(resources, part, work)
    else:
        skipped.append("CuraEngine or its printer definitions are not to be had")
    for line in failures:
        print("FAILED", line)
    for line in skipped:
        print("skipped:", line)
    print(f"{passed} checks passed, {len(failures)} failed")
    sys.exit(1 if failures else 77 if skipped else 0)


main()
