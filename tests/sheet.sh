#!/bin/bash
# The survey sheet and the inspection report as others read them: poppler's tools say their size,
# their fonts and their words.
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

# The report: right size, fonts embedded, a numbered foot on every page, and every sentence of the
# machine answer in the text.
report() { # JOB SIZE [OPTIONS]
    local job=$1 size=$2 file=$folder/report.pdf
    shift 2
    local status=0
    "$program" inspect "demo-scenes/$job.ron" --json --sheet "$file" --date 'May 3, 2026' "$@" \
        >"$folder/answer.json" 2>/dev/null || status=$?
    [ "$status" = 1 ] || fail "$job: status $status"
    LC_ALL=C pdfinfo "$file" | grep -qE "^Page size: +$size pts" || fail "$file: not $size points"
    local fonts
    fonts=$(LC_ALL=C pdffonts "$file" | tail -n +3)
    [ "$(grep -cE ' yes yes yes ' <<<"$fonts")" = 2 ] || fail "not embedded: $fonts"
    local pages
    pages=$(LC_ALL=C pdfinfo "$file" | sed -n 's/^Pages: *//p')
    pdftotext -raw "$file" "$folder/text"
    for page in $(seq "$pages"); do
        grep -qE "$page of $pages\$" "$folder/text" || fail "no foot on page $page"
    done
    python3 - "$folder/answer.json" "$folder/text" <<'PYTHON'
import json, sys

def words(text):
    return " ".join(text.replace("\u00a0", " ").split())

answer = json.load(open(sys.argv[1]))
text = words(open(sys.argv[2]).read())
asked = [t["says"] for t in answer["troubles"]] + [t["source"] for t in answer["troubles"]]
asked += [b["what"] for t in answer["troubles"] for b in t["because"][:5] if abs(b["share_mm"]) > 1]
asked += [r["says"] for r in answer["rules"]] + answer["cautions"]
asked += ["certifies nothing", "Carpenter", "Inspector", "May 3, 2026"]
# A sentence begins with a capital.
lost = [one for one in asked if words(one)[1:] not in text]
sys.exit("not on the sheet: " + "; ".join(lost) if lost else 0)
PYTHON
    echo "$job: a report of $pages pages, every trouble, rule and caution on it"
}
report quarry-lane '612 x 792'
report weir-cottage '595\.2[78][0-9]* x 841\.89[0-9]*' --paper a4
