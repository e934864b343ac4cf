#!/usr/bin/env bash
# Makes the sample jobs anew: the part, then the G-code, then the packed files kept here.
#   slice.sh           both
#   slice.sh trial     one of them: housing or trial
# Needs prusa-slicer 2.5.0 and xz. The slicer works on several threads and does not
# choose the same path start in every run: lengths, times and layers repeat, the bytes
# do not.
set -euo pipefail
cd "$(dirname "$0")"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# slice NAME OPTION...: makes NAME.gcode.xz of the part
slice() {
  local job=$1
  shift
  prusa-slicer --export-gcode "$work/housing.stl" -o "$work/$job.gcode" \
    --notes 'Invented sample: not a real part, shop or order.' \
    --gcode-flavor marlin2 --remaining-times --bed-shape 0x0,220x0,220x220,0x220 \
    --center 110,110 --nozzle-diameter 0.4 --filament-type NYLON \
    --filament-density 1.13 --filament-diameter 1.75 \
    --first-layer-temperature 255 --temperature 255 \
    --first-layer-bed-temperature 80 --bed-temperature 80 --no-cooling \
    --layer-height 0.3 --first-layer-height 0.3 --brim-width 5 \
    --top-solid-layers 4 --bottom-solid-layers 4 --fill-pattern rectilinear \
    --perimeter-speed 35 --external-perimeter-speed 25 --small-perimeter-speed 25 \
    --infill-speed 40 --solid-infill-speed 35 --top-solid-infill-speed 25 \
    --gap-fill-speed 20 "$@" > "$work/slicer.log" 2>&1 || {
    cat "$work/slicer.log" >&2
    exit 1
  }
  xz -9e "$work/$job.gcode"
  mv "$work/$job.gcode.xz" .
  xz -dc "$job.gcode.xz" |
    grep -E '^; (filament used \[(mm|g)\]|estimated printing time)'
}

awk -f part.awk > "$work/housing.stl"
case "${1-both}" in
  both | housing) slice housing --perimeters 4 --fill-density 50% ;;&
  both | trial) slice trial --scale 0.4 --perimeters 3 --fill-density 25% ;;&
  both | housing | trial) ;;
  *)
    echo "slice.sh: unknown job '$1'; use housing or trial" >&2
    exit 64
    ;;
esac
