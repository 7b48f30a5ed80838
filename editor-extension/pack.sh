#!/usr/bin/env bash
# Packs the extension with a native program in it: pack.sh PROGRAM PACKAGE.vsix. The package is for the platform that it is made on.
set -euo pipefail

program=$(realpath "$1")
package=$(realpath "$2")
cd "$(dirname "${BASH_SOURCE[0]}")"
[ -d node_modules ] || npm ci --ignore-scripts --silent
node build.mjs
node package.mjs --program "$program" --out "$package"
