#!/usr/bin/env bash
# Installs the Debian packages that are missing, and none when all are there.
#   install.sh build   to build and run the tool
#   install.sh tests   also to test it: slicers, a browser and the test library
#   install.sh all     also the second compiler with its sanitizers
set -euo pipefail

packages=(g++ libeigen3-dev cmake ninja-build pkg-config libcli11-dev nlohmann-json3-dev libre2-dev
  xz-utils zlib1g-dev libzip-dev libssl-dev libqrencode-dev)
case "${1-build}" in
  build) ;;
  tests | all) packages+=(catch2 libsundials-dev prusa-slicer slic3r cura-engine python3 python3-jsonschema groff-base
    zsh fish librsvg2-bin zbar-tools chromium python3-websockets fontconfig
    fonts-dejavu-core fonts-liberation) ;;
  *)
    echo "install.sh: unknown set '$1'; use build, tests or all" >&2
    exit 64
    ;;
esac
if [ "${1-build}" = all ]; then packages+=(clang libclang-rt-dev); fi

if ! command -v apt-get > /dev/null || ! command -v dpkg-query > /dev/null; then
  echo "install.sh: no apt-get here, so nothing is installed; if the build stops," \
    "install what Debian calls: ${packages[*]}" >&2
  exit 0
fi

is_installed() {
  dpkg-query --show --showformat='${db:Status-Status}\n' "$1" 2> /dev/null |
    grep -qx installed
}

missing=()
for package in "${packages[@]}"; do
  is_installed "$package" || missing+=("$package")
done
if [ ${#missing[@]} -eq 0 ]; then
  echo "All packages are installed."
  exit 0
fi

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo > /dev/null; then
    echo "install.sh: these packages are missing and need root or sudo to be" \
      "installed: ${missing[*]}" >&2
    exit 1
  fi
  as_root=(sudo)
fi

apt() {
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -q \
    -o DPkg::Lock::Timeout=300 "$@"
}
echo "Installing: ${missing[*]}"
# Package lists may be empty, as in a new container. Without a network an install from
# cached packages may still succeed, so a failed update is not the end.
apt update || true
if ! apt install --yes --no-install-recommends "${missing[@]}"; then
  echo "install.sh: could not install ${missing[*]}; see the lines above, install" \
    "them by hand, then run this again" >&2
  exit 1
fi
