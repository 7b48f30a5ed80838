#!/usr/bin/env bash
# All that has to hold of the extension, from a clean clone; says in TAP what does. PATCHLANG_PROGRAM names the program for its tests.
set -euo pipefail

cd "$(dirname "${BASH_SOURCE[0]}")"
npm ci --ignore-scripts --silent
npm test --silent
