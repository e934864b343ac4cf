#!/usr/bin/env bash
# Time and memory of guarding a very large job, by hand only:
#   tests/bench/big_job.sh [path/to/drydepth] [repetitions] [sliced.gcode]
# Slices a 200 x 200 x 50 mm block with gyroid filling (374 MB, 12 million lines) unless
# given that job, then times guard end to end, with the fit to the weighings and with the
# fit kept from before, in turns with the yardstick `grep -c '^G1'` over the same warm
# file: their ratio holds from machine to machine where seconds do not. Others at work
# only add to a time, so the least counts beside the median. Needs 1.2 GB of temporary
# space (TMPDIR).
#
# Memory is that of guard alone, read every 2 ms from /proc: the peak resident set,
# which includes pages of a mapped job, and the highest anonymous part, without them.
set -euo pipefail
here=$(realpath "$(dirname "$0")")
tool=$(realpath "${1-$here/../../build/release/src/drydepth}")
repetitions=${2-5}
record=$(realpath "$here/../../samples/shelf/K-07.json")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
given=${3:+$(realpath "$3")}
cd "$work"
cp "$record" K-07.json  # the fit is kept beside it

slice() {
  awk 'BEGIN {
  split("0 0 0,200 0 0,200 200 0,0 200 0,0 0 50,200 0 50,200 200 50,0 200 50", v, ",")
  n = split("1 3 2,1 4 3,5 6 7,5 7 8,1 2 6,1 6 5,2 3 7,2 7 6,3 4 8,3 8 7,4 1 5,4 5 8",
            f, ",")
  print "solid block"
  for (i = 1; i <= n; ++i) {
    split(f[i], corner, " ")
    print "facet normal 0 0 0\n outer loop"
    for (j = 1; j <= 3; ++j) print "  vertex " v[corner[j]]
    print " endloop\nendfacet"
  }
  print "endsolid block"
}' > block.stl
  echo "Slicing the block ..."
  prusa-slicer --export-gcode block.stl -o sliced.gcode --gcode-flavor marlin2 \
    --layer-height 0.1 --first-layer-height 0.2 --fill-pattern gyroid \
    --fill-density 20% --bed-shape 0x0,250x0,250x250,0x250 --center 125,125 \
    --filament-type NYLON --filament-density 1.14 --filament-diameter 1.75 \
    --temperature 255 > slicer.log 2>&1
}
if [ -n "$given" ]; then ln -s "$given" sliced.gcode; else slice; fi

python3 - "$tool" "$repetitions" << 'EOP'
import os
import resource
import shutil
import statistics
import subprocess
import sys
import time

tool, repetitions = sys.argv[1], int(sys.argv[2])
guard = [tool, "guard", "--spool", "./K-07.json", "--at", "2026-03-06T06:30:00Z",
         "job.gcode"]
commands = {"grep": ["grep", "-c", "^G1", "job.gcode"],
            "guard, fit included": [*guard, "--fresh"],
            "guard, fit kept": guard}


def timed(command):
    """Seconds of one run, and of processors; none of it spent on watching."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begin = time.monotonic()
    # A pipe, not /dev/null: grep stops at the first match when nobody can read it.
    run = subprocess.run(command, stdout=subprocess.PIPE)
    seconds = time.monotonic() - begin
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if run.returncode != 0:
        sys.exit(f"{command[0]} ended with {run.returncode}")
    return seconds, (after.ru_utime - before.ru_utime +
                     after.ru_stime - before.ru_stime)


def memory_mib(command):
    """Highest VmHWM and RssAnon seen while one run goes on that is not timed."""
    highest = {"VmHWM:": 0.0, "RssAnon:": 0.0}
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    while child.poll() is None:
        with open(f"/proc/{child.pid}/status") as status:
            for key, *value in map(str.split, status):
                if key in highest:
                    highest[key] = max(highest[key], int(value[0]) / 1024)
        time.sleep(0.002)
    return highest["VmHWM:"], highest["RssAnon:"]


times = {name: [] for name in commands}
for _ in range(repetitions):
    for name, command in commands.items():
        shutil.copyfile("sliced.gcode", "job.gcode")  # also warms the cache
        times[name].append(timed(command))
shutil.copyfile("sliced.gcode", "job.gcode")
resident, anonymous = memory_mib(commands["guard, fit included"])

print(f"job: {os.path.getsize('sliced.gcode') / 1e6:.1f} MB, {repetitions} repetitions")
least = {}
for name, values in times.items():
    wall, used = zip(*values)
    least[name] = min(wall), min(used)
    print(f"{name}: median {statistics.median(wall):.3f} s, {min(wall):.3f} to "
          f"{max(wall):.3f} s; processor time, least {min(used):.3f} s; "
          f"{min(wall) / least['grep'][0]:.1f} units of time, "
          f"{min(used) / least['grep'][1]:.1f} of processor time")
print(f"guard: peak resident {resident:.1f} MiB, anonymous {anonymous:.1f} MiB")
EOP
