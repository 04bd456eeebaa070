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
# With RAKEWELL=PROGRAM, answers saved and copied from NAME.html are read by the program into a copy of
# NAME.ron, which lies beside it. CHECKS=WORDS runs only the checks whose names hold those words.
#
# First frame: printed for each file; more than RAKEWELL_FIRST_FRAME_MS (8000) fails. The browser
# draws in software here; on a machine with nothing else to do it is to be 3000 or less.
set -u
[ $# -gt 0 ] || {
    echo "tests/page: no FILE.html named" >&2
    exit 2
}
. "$(dirname "${BASH_SOURCE[0]}")/ready.sh"
exec node "$here/check.mjs" "$@"
