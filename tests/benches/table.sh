#!/usr/bin/env bash
# One table of what every stage takes on 1, 2, 8 and 80 flights, with its growth and the most memory held,
# and beside it the reference libraries on the same work in the same run.
#
#   bash tests/benches/table.sh                     builds the release first, the window too
#   bash tests/benches/table.sh --core              no pictures, no page with pictures, no first frame
#   bash tests/benches/table.sh --with PROGRAM [--frames BENCH]    with a program already built with the
#                                                   window, and the bench `frames`
#
# $RAKEWELL_TABLE keeps the work: the stairs, the parts, the openings, the times. The libraries are those
# of tests/reference/run.sh. Exit status: 0 all found the same, 1 some differ, 2 it could not be run.
set -u
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
here=$root/tests/reference
# shellcheck source=tests/reference/venv.sh
. "$here/venv.sh"

drawn=()
core=no
case "${1-}" in
    --core) core=yes ;;
    --with) drawn=("$@") ;;
    "") ;;
    *) cannot "--core or --with PROGRAM, not $1" ;;
esac

if [ -n "${RAKEWELL_TABLE-}" ]; then
    work=$RAKEWELL_TABLE
    mkdir -p "$work" || cannot "no folder $work"
else
    work=$(mktemp -d "${TMPDIR:-/tmp}/rakewell-table.XXXXXX") || cannot "no temporary directory"
    trap 'rm -rf "$work"' EXIT
fi

# The program of a target that a build of cargo's makes, by its own account: a bench brings the binary too.
built() { # --bench or --bin, NAME, then cargo's options
    (cd "$root" && cargo build --release --message-format json "$@") >"$work/cargo.json" || return 1
    "$python" - "$work/cargo.json" "$2" <<'PY'
import json, sys
made = [json.loads(line) for line in open(sys.argv[1]) if line.startswith("{")]
print([one["executable"] for one in made if one.get("executable") and one["target"]["name"] == sys.argv[2]][-1])
PY
}

table=$(built --bench table --no-default-features) || cannot "the bench could not be built"
if [ "$core" = no ] && [ ${#drawn[@]} -eq 0 ]; then
    program=$(built --bin rakewell) || cannot "the program could not be built"
    frames=$(built --bench frames) || cannot "the bench of frames could not be built"
    drawn=(--with "$program" --frames "$frames")
fi

"$python" "$here/table.py" write "$work" || cannot "the cases could not be written"
"$table" --work "$work" >"$work/stages.txt" || cannot "our side gave no times"
"$python" "$here/table.py" compare "$work" ${drawn[@]+"${drawn[@]}"}
