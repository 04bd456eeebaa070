#!/usr/bin/env bash
# Holds our answers against outside libraries (fcl, qhull, manifold, GEOS, HiGHS, numpy, scikit-learn,
# uncertainties, SALib), and what we write against independent readers: PDF (pdfplumber), SVG
# (xml.etree), IFC (ifcopenshell), glTF (trimesh).
#
#   bash tests/reference/run.sh           the seeds of seeds.txt
#   bash tests/reference/run.sh --fresh   new seeds; a failing one is printed, for seeds.txt
#   bash tests/reference/run.sh [--fresh] --only SUBJECT    one subject of reference.py
#
# The libraries go into a virtual environment, $RAKEWELL_VENV or ~/.cache/rakewell-venv, at the
# versions of requirements.txt. Exit status: 0 all agree, 1 some differ, 2 it could not be run.
set -u
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
root=$(cd "$here/../.." && pwd)
# shellcheck source=tests/reference/venv.sh
. "$here/venv.sh"

work=$(mktemp -d "${TMPDIR:-/tmp}/rakewell-reference.XXXXXX") || cannot "no temporary directory"
trap 'rm -rf "$work"' EXIT

"$python" "$here/reference.py" write "$work" "$@" || cannot "the cases could not be written"
(cd "$root" && RAKEWELL_REFERENCE_DIR=$work cargo test --quiet --no-default-features --test it \
    reference::export) >"$work/cargo.log" 2>&1 || {
    cat "$work/cargo.log" >&2
    cannot "our side gave no answers"
}
"$python" "$here/reference.py" compare "$work"
