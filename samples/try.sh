#!/usr/bin/env bash
# From a fresh clone to a guarded job: installs, builds, runs the main job on the
# sample, shows what it wrote, takes it back again.
set -euo pipefail
cd "$(dirname "$0")/.."
export CXX=g++
export TZ=UTC  # the zone of the invented scenario, and of what README shows

step() { printf '\n== %s\n' "$*"; }
run() {
  printf '$ %s\n' "$*"
  "$@"
}

step "1. Packages"
bash samples/install.sh build

step "2. Build"
cmake --preset release -DDRYDEPTH_TESTS=OFF
cmake --build --preset release --parallel "$(nproc)"

tool=build/release/src/drydepth
spool=samples/shelf/K-07.json
job=samples/out/housing.gcode
sliced=samples/out/housing.sliced.gcode
start=2026-03-06T06:30:00Z

step "3. The sample job (invented; see samples/README.md)"
mkdir -p samples/out
xz --decompress --stdout samples/housing.gcode.xz > "$sliced"
cp "$sliced" "$job"
echo "$job: $(wc -l < "$job") lines as sliced; a copy stays in $sliced"

step "4. Guard it: will spool K-07 carry this job from the open room?"
run "$tool" guard --spool "$spool" --at "$start" "$job"

step "5. The first lines that this wrote into the job"
# diff ends with 1 where the files differ, as they should.
{ diff "$sliced" "$job" || true; } | sed -n 's/^> //p' | sed -n '1,25p'

step "6. Take it all back"
run "$tool" restore "$job"
if ! cmp "$sliced" "$job"; then
  echo "try.sh: the restored job differs from the sliced one" >&2
  exit 1
fi
echo "Every byte is as sliced."
