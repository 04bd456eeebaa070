#!/bin/bash
# The program itself on a machine at fault, as its user would have it: ended by the system before every
# single call that touches a file, on a file system that is full, and watched for what it runs and whom
# it calls. By hand: a few minutes. It needs strace, and root for the full file system.
#
#     bash tests/faults.sh [PROGRAM]
#
# Prints one line for each command: how often it was ended, and what was found after it.
set -euo pipefail
cd "$(dirname "$0")/.."

fail() { echo "faults: $*" >&2; exit 1; }
command -v strace >/dev/null || fail "strace is not installed"
if [ $# -gt 0 ]; then
    program=$(realpath "$1")
else
    cargo build --quiet --no-default-features
    program="${CARGO_TARGET_DIR:-target}/debug/rakewell"
fi
work=$(mktemp -d)
full=""
trap '[ -z "$full" ] || umount "$full"; rm -rf "$work"' EXIT
ulimit -c 0

# The calls between which a file comes to be: made, written, given rights, flushed, named, taken out.
calls=(openat write fchmod fsync rename renameat2 linkat unlink mkdir flock)
sum() {
    (cd "$1" && find . -type f ! -name '.rakewell-*.tmp' -print0 | sort -z | xargs -0r sha256sum
        find . -type l -printf 'leads to %l  %p\n' | sort)
}

# What is there after an end: all old, all new, or of a folder of files each the one or the other.
found() {
    local now line
    now=$(sum "$work/now")
    case "$now" in
        "$before") olds=$((olds + 1)) ;;
        "$after") news=$((news + 1)) ;;
        *)
            mixed=$((mixed + 1))
            while read -r line; do
                grep -qxF "$line" <<<"$before"$'\n'"$after" || fail "$1: $line is neither"
            done <<<"$now"
            [ "$(wc -l <<<"$now")" -ge "$(wc -l <<<"$before")" ] || fail "$1: one is gone"
            ;;
    esac
    drafts=$((drafts + $(find "$work/now" -name '.rakewell-*.tmp' | wc -l)))
}
# True where a run lived.
ended() { prefix="strace -f -qq -o /dev/null -e $2" $1 "$work/now" >/dev/null 2>&1; }

# NAME, then what the old state and a run are: functions that are given a folder.
killed() {
    local name=$1 old=$2 run=$3
    rm -rf "$work/old" "$work/new" "$work/now"
    mkdir "$work/old" && $old "$work/old"
    cp -a "$work/old" "$work/new" && $run "$work/new" >/dev/null 2>&1
    local before after kills=0 olds=0 news=0 mixed=0 drafts=0 call number
    before=$(sum "$work/old") after=$(sum "$work/new")
    [ "$before" != "$after" ] || fail "$name: nothing is written"
    # strace counts each kind of call by itself. Past its last one the program lives.
    for call in "${calls[@]}"; do
        number=1
        while rm -rf "$work/now" && cp -a "$work/old" "$work/now" &&
            ! ended "$run" "trace=$call -e inject=$call:signal=KILL:when=$number"; do
            kills=$((kills + 1)) number=$((number + 1))
            found "$name, $call $number"
        done
    done
    printf '%-28s ended %4d times: old %4d, new %3d, each whole %3d; drafts left %4d, neither 0\n' \
        "$name" "$kills" "$olds" "$news" "$mixed" "$drafts"
}

prefix=""
go() { $prefix "$program" "$@"; }
a_job() { cp demo-scenes/quarry-lane.ron "$1/job.ron"; }
a_linked_job() { mkdir "$1/inner" && a_job "$1/inner" && ln -s inner/job.ron "$1/job.ron"; }
with_answers() { cp demo-scenes/weir-cottage.ron "$1/job.ron" &&
    cp tests/fuzz/seeds/answers/file.json "$1/answers.json"; }
a_small_job() { cp scenes/straight.ron "$1/job.ron"; }
with_tables() { a_small_job "$1" && "$program" cuts "$1/job.ron" --csv "$1/tables" >/dev/null 2>&1 &&
    for file in "$1"/tables/*; do echo old >"$file"; done; }
with_parts() { a_small_job "$1" && echo old >"$1/parts.csv"; }
stand() { go inspect "$1/job.ron" --let-stand opening:B25+W2 --because seen; }
answers() { go answers "$1/job.ron" --from "$1/answers.json"; }
new() { go new "$1/new.ron"; }
tables() { go cuts "$1/job.ron" --csv "$1/tables"; }
parts() { go parts "$1/job.ron" --csv --to "$1/parts.csv"; }

echo "== ended before every call that touches a file"
killed "inspect --let-stand" a_job stand
killed "the same through a link" a_linked_job stand
killed "answers --from" with_answers answers
killed "new" a_small_job new
killed "cuts --csv" with_tables tables
killed "parts --csv --to" with_parts parts

echo "== on a file system that is full"
full=$work/full
mkdir "$full"
if mount -t tmpfs -o size=64k tmpfs "$full" 2>/dev/null; then
    for one in stand answers tables parts new; do
        find "$full" -mindepth 1 -delete
        case $one in
            stand) a_job "$full" ;;
            answers) with_answers "$full" ;;
            tables) mkdir "$full/tables" && a_small_job "$full" && echo old >"$full/tables/cuts.csv" ;;
            *) a_small_job "$full" ;;
        esac
        [ $one != parts ] || echo old >"$full/parts.csv"
        # All that is left of it is taken.
        dd if=/dev/zero of="$full/filler" bs=1k >/dev/null 2>&1 || true
        before=$(sum "$full")
        if says=$($one "$full" 2>&1 >/dev/null); then fail "$one on a full file system: no fault"; fi
        [ "$before" = "$(sum "$full")" ] || fail "$one on a full file system: something changed"
        [ -z "$(find "$full" -name '.rakewell-*')" ] || fail "$one leaves a draft"
        grep -q 'no space left' <<<"$says" || fail "$one says: $says"
        printf '%-28s %s\n' "$one" "$(tail -1 <<<"$says" | sed "s|$full|FOLDER|g")"
    done
    umount "$full"
    full=""
else
    full=""
    echo "not mounted here: run this as root" >&2
fi

echo "== what it runs and whom it calls"
for one in stand answers new tables parts; do
    rm -rf "$work/now" && mkdir "$work/now"
    if [ $one = answers ]; then with_answers "$work/now"; else a_job "$work/now"; fi
    prefix="strace -f -qq -o $work/calls -e trace=execve,execveat,fork,vfork,socket,connect,bind,sendto" \
        $one "$work/now" >/dev/null 2>&1 || true
    # Its own start is the one execve.
    count=$(grep -vcE '^[0-9]+ +(execve\("[^"]*rakewell"|\+\+\+|---)' "$work/calls" || true)
    [ "$count" = 0 ] || fail "$one: $(cat "$work/calls")"
    printf '%-28s runs nothing, opens no socket\n' "$one"
done
