#!/bin/sh
# Installs Pintle from its source, with the very dependencies that the source names, and says what is there now.
#
#   sh install.sh SOURCE [ROOT]
#
# SOURCE is a folder with the source at the version that was agreed upon: a checkout of one commit, or an unpacked archive.
# The program comes to ROOT/bin/pintle; without it ROOT is where cargo keeps programs. Ends with 0, or with 2 and the reason.
set -u
source=${1:?the folder with the source of Pintle}
root=${2:-${CARGO_HOME:-$HOME/.cargo}}
if ! command -v cargo >/dev/null; then
  echo "install.sh: no cargo here; a machine that builds the program needs a Rust toolchain" >&2
  exit 2
fi
if [ ! -f "$source/Cargo.toml" ]; then
  echo "install.sh: no source of Pintle in $source; fetch it there first" >&2
  exit 2
fi
cargo install --locked --quiet --path "$source" --root "$root" || exit 2
"$root/bin/pintle" --version || exit 2
