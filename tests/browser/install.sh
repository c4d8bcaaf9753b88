#!/usr/bin/env bash
# Installs what the browser tests need beside node and Chromium, in the pinned versions, into a folder outside of the tree.
# Usage: tests/browser/install.sh [FOLDER]; by itself target/browser below the build folder.
set -euo pipefail
here="$(cd "$(dirname "$0")" && pwd)"
folder="${1:-${CARGO_TARGET_DIR:-$here/../../target}/browser}"
mkdir -p "$folder"
cp "$here/package.json" "$here/package-lock.json" "$folder/"
cd "$folder"
npm ci --no-audit --no-fund --ignore-scripts
