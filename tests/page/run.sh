#!/usr/bin/env bash
# The client's page in a true browser, with the network off.
#
#     bash tests/page/run.sh [--attack FILE.html] FILE.html...
#
# A file after --attack is one whose names and notes hold markup and scripts: they must stay text.
# Wants node and npm (Debian: nodejs, npm), and Debian's chromium and poppler-utils, which it
# installs where they are missing and it may. Closing line: 'N passed, N failed'. Exit status: 0 all
# hold, 1 some do not, 2 it could not be run.
#
# First frame: printed for each file; more than RAKEWELL_FIRST_FRAME_MS (8000) fails. The browser
# draws in software here; on a machine with nothing else to do it is to be 3000 or less.
set -u
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)

cannot() {
    echo "tests/page: $1" >&2
    echo "0 passed, 1 failed"
    exit 2
}

[ $# -gt 0 ] || cannot "no FILE.html named"
command -v npm >/dev/null || cannot "no npm"
if ! command -v chromium >/dev/null || ! command -v pdftotext >/dev/null; then
    { apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
        chromium poppler-utils fonts-dejavu-core; } >/dev/null 2>&1 || cannot "no chromium, and it could not be installed"
fi
# The stamp is written last, so a broken installation is made again.
stamp=$here/node_modules/installed.json
if ! cmp -s "$here/package-lock.json" "$stamp"; then
    (cd "$here" && npm ci --no-fund --no-audit --ignore-scripts --loglevel=error) >&2 || cannot "npm ci failed"
    cp "$here/package-lock.json" "$stamp"
fi
node "$here/bundle.mjs" --check || cannot "the page's assets are not as they would be made"
exec node "$here/check.mjs" "$@"
