#!/bin/bash
# The survey sheet as others read it: poppler's tools say its size, its fonts and its words.
#
#     bash tests/sheet.sh [PROGRAM]
#
# Wants pdfinfo, pdffonts and pdftotext (Debian: poppler-utils), and the program, which it builds
# where none is named.
set -euo pipefail
cd "$(dirname "$0")/.."

program=${1:-}
if [ -z "$program" ]; then
    export CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-$HOME/.cache/rakewell-target}"
    cargo build --quiet --no-default-features
    program=$CARGO_TARGET_DIR/debug/rakewell
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
fail() {
    echo "$*" >&2
    exit 1
}

sheet() { # NAME SIZE [OPTIONS]
    local file=$folder/$1.pdf size=$2
    shift 2
    "$program" survey-sheet --to "$file" "$@" 2>/dev/null
    LC_ALL=C pdfinfo "$file" | grep -qE "^Page size: +$size pts" || fail "$file: not $size points"
    # Two fonts, both embedded, subset and with a way back to text.
    local fonts
    fonts=$(LC_ALL=C pdffonts "$file" | tail -n +3)
    [ "$(wc -l <<<"$fonts")" = 2 ] || fail "fonts: $fonts"
    [ "$(grep -cE ' yes yes yes ' <<<"$fonts")" = 2 ] || fail "not embedded: $fonts"
    pdftotext -layout "$file" "$folder/text"
    local pages
    pages=$(LC_ALL=C pdfinfo "$file" | sed -n 's/^Pages: *//p')
    for page in $(seq "$pages"); do
        grep -qE "Quarry Lane.* $page of $pages\$" "$folder/text" || fail "no foot on page $page"
    done
    # The words of the job file, and every step of the demo once, in order.
    for word in TotalRise TotalRun Pitch Rise Going Edge Width Level Fall Overhang Under Offset \
        Plumb Straight Between Corner "Wall W1" "Wall W2"; do
        grep -q "$word" "$folder/text" || fail "no $word"
    done
    local steps
    steps=$(sed -n '/Steps .*R rough/,/Boards and floors/p' "$folder/text" |
        grep -oE '^ {0,3}[0-9]+\b' | tr -d ' ' | tr '\n' ' ')
    [ "$steps" = "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 " ] || fail "steps: $steps"
    echo "$(basename "$file"): $pages pages, right size, fonts embedded, every step asked"
}
sheet letter '612 x 792'
sheet a4 '595\.2[78][0-9]* x 841\.89[0-9]*' --paper a4
sheet filled '612 x 792' --filled
grep -q '7 7/16' "$folder/text" || fail "the rise of step 2 is not printed as it was typed"
