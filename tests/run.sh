#!/usr/bin/env bash
# Installs, builds and tests. ctest's closing line comes last and its exit code is ours.
#   tests/run.sh         release, g++
#   tests/run.sh --all   then release, clang++, then debug with sanitizers, g++
set -euo pipefail
cd "$(dirname "$0")/.."
export CXX=g++

check() {
  printf '\n== %s\n' "$1"
  cmake --preset "$1" -DDRYDEPTH_TESTS=ON
  cmake --build --preset "$1" --parallel "$(nproc)"
  ctest --preset "$1" --output-on-failure --no-tests=error --parallel "$(nproc)"
}

case "${1-}" in
  "")
    bash samples/install.sh tests
    check release
    ;;
  --all)
    bash samples/install.sh all
    for preset in release clang debug; do check "$preset"; done
    ;;
  *)
    echo "run.sh: unknown option '$1'; use --all or nothing" >&2
    exit 64
    ;;
esac
