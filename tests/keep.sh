#!/bin/bash
# The real window's manners with files, under a display of its own: killed with work that is not
# saved, started again, the work taken up and saved; the file changed by another program with and
# without work here; two windows on one job; a window of one point; closing asked about first; no
# processor time at rest.
#
# Needs Xvfb, xdotool, ImageMagick and Python. RAKEWELL names a program to try instead of building
# one. Pictures go to $PICTURES or a temporary folder. A command of its own: about three minutes.
set -euo pipefail
cd "$(dirname "$0")/.."

fail() { echo "keep: $*" >&2; exit 1; }
for tool in Xvfb xdotool import python3; do
    command -v "$tool" >/dev/null || fail "$tool is not installed"
done

[ -n "${RAKEWELL:-}" ] || cargo build --quiet
program="${RAKEWELL:-${CARGO_TARGET_DIR:-target}/debug/rakewell}"
work=$(mktemp -d)
pictures="${PICTURES:-$work}"
mkdir -p "$pictures"
job="$work/job.ron"
demo=demo-scenes/quarry-lane.ron
cp "$demo" "$job"
export XDG_STATE_HOME="$work/state"
windows="$XDG_STATE_HOME/rakewell/windows"

exec 3<> <(:)
Xvfb -displayfd 3 -screen 0 1360x820x24 >/dev/null 2>&1 &
xvfb=$!
window=""
other=""
cleanup() {
    [ -z "$window" ] || kill -9 "$window" 2>/dev/null || true
    [ -z "$other" ] || kill -9 "$other" 2>/dev/null || true
    kill "$xvfb" 2>/dev/null || true
    [ "$pictures" = "$work" ] || rm -rf "$work"
}
trap cleanup EXIT
read -r -t 20 number <&3 || fail "Xvfb did not start"
export DISPLAY=":$number"

shot() { import -window root "$pictures/$1.png"; }
# Starts the window on the job and waits until it has set it out and draws.
start() {
    RUST_LOG="error,rakewell=info" NO_COLOR=1 "$program" "$job" >"$work/log" 2>&1 &
    window=$!
    id=$(timeout 60 xdotool search --sync --pid "$window" --name 'Rakewell' | head -1) ||
        fail "no window came up"
    results 1
    xdotool windowmove "$id" 0 0
    xdotool windowfocus "$id"
    for _ in $(seq 60); do
        sleep 1
        shot opened
        [ "$(identify -format %k "$pictures/opened.png")" -gt 1000 ] && break
    done
    sleep 3
}
results() {
    for _ in $(seq 300); do
        [ "$(grep -c 'set out' "$work/log")" -ge "$1" ] && return 0
        kill -0 "$window" 2>/dev/null || { cat "$work/log" >&2; fail "the window ended"; }
        sleep 0.2
    done
    cat "$work/log" >&2
    fail "waited in vain for result $1"
}
# Waits for a command to succeed.
until_true() {
    local what=$1
    shift
    for _ in $(seq 100); do
        "$@" && return 0
        sleep 0.3
    done
    fail "waited in vain: $what"
}
# A key with Ctrl held until it is seen: on a busy machine a frame takes a second.
with_ctrl() {
    xdotool keydown ctrl
    sleep 0.5
    xdotool key "$1"
    sleep 2
    xdotool keyup ctrl
}
# What the records of the windows hold of a field of the work that is kept aside.
kept() {
    python3 - "$windows" "$1" <<'PY'
import glob, json, sys
for name in sorted(glob.glob(sys.argv[1] + "/*.json")):
    kept = json.load(open(name)).get("kept")
    if kept:
        sys.stdout.write(str(kept[sys.argv[2]]))
PY
}
some_kept() { [ -n "$(kept text)" ]; }
none_kept() { [ -z "$(kept text)" ]; }

# Killed with three marks of work that nobody saved.
start
for mark in 1 2 3; do
    xdotool key comma
    results $((1 + mark))
done
until_true "work is kept aside" some_kept
sleep 4
kept text >"$work/before"
kill -9 "$window"
wait "$window" 2>/dev/null || true
cmp -s "$demo" "$job" || fail "the file changed before it was saved"

# Started again, it is offered and taken up, to the letter.
start
shot offered
xdotool key Return
results 2
sleep 1
shot taken-up
with_ctrl s
until_true "it is saved" cmp -s "$work/before" "$job"
until_true "nothing is kept aside any more" none_kept
[ "$(diff "$demo" "$job" | grep -c '^>')" = 1 ] || fail "more than the newel's move was saved"

# Another program writes the file: an untouched window takes it in, and undo goes back.
done=$(grep -c 'set out' "$work/log")
cp "$demo" "$job.new" && mv "$job.new" "$job"
results $((done + 1))
sleep 1
shot reloaded
last() { grep 'set out' "$work/log" | tail -1 | sed 's/.*set out: //'; }
theirs=$(last)
with_ctrl z
results $((done + 2))
[ "$(last)" != "$theirs" ] || fail "undo does not go back before what the file brought"

# With work here, both are kept (the strip that says so is in the picture), and the file is left alone.
xdotool key comma
results $((done + 3))
sed 's/rise: "7 1\/2"/rise: "7 5\/8"/' "$demo" >"$job.new" && mv "$job.new" "$job"
cp "$job" "$work/theirs"
sleep 4
shot theirs
with_ctrl s
sleep 1
shot asked
cmp -s "$work/theirs" "$job" || fail "a changed file was written over without a word"
xdotool key Escape
sleep 1

# A second window on the same job (its strip is in the picture).
RUST_LOG=error "$program" "$job" >"$work/log2" 2>&1 &
other=$!
timeout 60 xdotool search --sync --pid "$other" --name 'Rakewell' >/dev/null || fail "no second window"
sleep 8
shot second
kill -9 "$other"
wait "$other" 2>/dev/null || true
other=""

# A window of one point, and back: nothing ends.
xdotool windowsize "$id" 1 1
sleep 3
xdotool windowsize "$id" 1360 820
sleep 4
kill -0 "$window" 2>/dev/null || { cat "$work/log" >&2; fail "a window of one point ended it"; }
shot back-from-one-point

# At rest: no processor time to speak of, though the file is watched and work is kept aside.
sleep 6
ticks() { awk '{ print $14 + $15 }' "/proc/$window/stat"; }
begun=$(ticks)
sleep 10
spent=$(($(ticks) - begun))
[ "$spent" -le 10 ] || fail "at rest it took $spent hundredths of a second in ten"

# Closing asks; Escape goes back; thrown away, nothing is written. It is asked for by the list of
# what can be done, because no window manager is here whose cross one could press.
close() {
    xdotool key F1
    sleep 3
    xdotool type --delay 150 'close the window'
    sleep 3
    xdotool key Return
}
close
sleep 3
shot closing
kill -0 "$window" 2>/dev/null || fail "it closed without a word"
xdotool key Escape
sleep 2
kill -0 "$window" 2>/dev/null || fail "Escape closed it"
close
sleep 2
xdotool key Tab
sleep 1
xdotool key Return
for _ in $(seq 60); do
    kill -0 "$window" 2>/dev/null || break
    sleep 0.3
done
kill -0 "$window" 2>/dev/null && fail "it does not close"
wait "$window" || fail "it ended with an error"
window=""
cmp -s "$work/theirs" "$job" || fail "what was thrown away was written"
# The second window was killed, so a record of it may be there; it holds no work.
none_kept || fail "work was left: $(ls "$windows")"
echo "keep: killed, taken up and saved to the letter; at rest $spent hundredths of a second in ten"
