#!/usr/bin/env python3
"""How fast jobs are read, as ratios; by hand only, on a machine at rest:

    tests/bench/scan_ratios.py path/to/dump_job BIG.gcode [repetitions] [block.stl]

BIG.gcode is the job that big_job.sh slices (374 MB); dump_job is built with the tests.
The unit is the user and system time of `grep -c '^G1'` over the same warm file, the
least of several runs: seconds differ from machine to machine, ratios much less. Compared
are the scan (E integrated, layers, time planned), the line parser of the npm package
gcode-parser (installed for the run into a temporary folder, from a part of the job and
scaled by size), and, given the block, PrusaSlicer slicing it and writing the job. Then
memory and time of the scan over jobs of 1 MB to 1.5 GB, made of parts and copies of
BIG.gcode.
"""
import os
import pathlib
import resource
import shutil
import subprocess
import sys
import tempfile

PART = 40_000_000
NPM_LOOP = """
const {parseLine} = require('gcode-parser');
const text = require('fs').readFileSync(process.argv[2], 'utf8');
let words = 0;
for (const line of text.split('\\n')) words += parseLine(line).words.length;
console.log(words);
"""


def cpu_seconds(command, cwd=None):
    """User and system time and peak resident MiB of one run."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        run = subprocess.run(command, cwd=cwd, stdout=subprocess.PIPE,
                             stderr=subprocess.PIPE)
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        seconds = used.ru_utime + used.ru_stime
        text = f"{run.returncode} {seconds} {used.ru_maxrss / 1024}"
        os.write(writer, text.encode())
        os._exit(0)
    os.close(writer)
    code, seconds, mib = os.read(reader, 200).decode().split()
    os.close(reader)
    os.waitpid(child, 0)
    if code != "0":
        sys.exit(f"{command[0]} ended with {code}")
    return float(seconds), float(mib)


def least_of(commands, repetitions):
    """The least time of each command, run in turns: others at work on the machine only
    ever add to it."""
    times = [[cpu_seconds(c)[0] for c in commands] for _ in range(repetitions)]
    return [min(column) for column in zip(*times)]


def copy_part(source, target, size):
    """The first `size` bytes of as many copies of the source as that takes."""
    with open(target, "wb") as out:
        while size > 0:
            with open(source, "rb") as job:
                while size > 0 and (piece := job.read(min(size, 1 << 20))):
                    out.write(piece)
                    size -= len(piece)


def npm_ratio(work, big, unit):
    if not shutil.which("npm"):
        return print("npm: not here")
    subprocess.run(["npm", "install", "--silent", "gcode-parser@2.2.0"], cwd=work,
                   check=True, capture_output=True)
    (work / "loop.js").write_text(NPM_LOOP)
    part = work / "part.gcode"
    copy_part(big, part, PART)
    seconds, _ = cpu_seconds(["node", "loop.js", str(part)], work)
    scaled = seconds * big.stat().st_size / PART
    print(f"npm gcode-parser, parseLine: {scaled:.2f} s, {scaled / unit:.1f} units")


def slicer_ratio(work, block, unit):
    words = ("--gcode-flavor marlin2 --layer-height 0.1 --first-layer-height 0.2 "
             "--fill-pattern gyroid --fill-density 20% "
             "--bed-shape 0x0,250x0,250x250,0x250 --center 125,125 --filament-type NYLON "
             "--filament-density 1.14 --filament-diameter 1.75 --temperature 255").split()
    seconds, _ = cpu_seconds(["prusa-slicer", "--export-gcode", block, "-o",
                               str(work / "sliced.gcode"), *words])
    print(f"prusa-slicer, slice and write: {seconds:.1f} s, {seconds / unit:.0f} units")


def main():
    dump, big = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2]).resolve()
    repetitions = int(sys.argv[3]) if len(sys.argv) > 3 else 5
    with tempfile.TemporaryDirectory() as folder:
        work = pathlib.Path(folder)
        megabytes = big.stat().st_size / 1e6
        unit, scan = least_of([["grep", "-c", "^G1", str(big)],
                               [str(dump), "trace", str(big)]], repetitions)
        print(f"job: {megabytes:.1f} MB; user and system time, least of {repetitions}")
        print(f"grep -c '^G1': {unit:.3f} s, 1 unit")
        print(f"scan: {scan:.3f} s, {scan / unit:.1f} units, {megabytes / scan:.0f} MB/s")
        npm_ratio(work, big, unit)
        if len(sys.argv) > 4:
            slicer_ratio(work, sys.argv[4], unit)
        for size in (1_000_000, PART, 375_000_000, 1_500_000_000):
            job = work / "sized.gcode"
            copy_part(big, job, size)
            seconds, mib = min(cpu_seconds([str(dump), "trace", str(job)])
                               for _ in range(3))
            print(f"scan of {size / 1e6:.0f} MB: {seconds:.3f} s, "
                  f"{seconds / size * 1e9:.2f} ns a byte, {mib:.1f} MiB resident at most")


main()
