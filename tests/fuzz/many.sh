#!/bin/bash
# Runs what run.sh built beside it: the subjects at once, each on its share of the cores, and a line for
# each at the end.
#
#     bash many.sh SECONDS CORES [SUBJECT...]
#
# It ends three minutes after the seconds at the latest. Into $OUT go report.txt, what failed with what
# was said of it (failed-SUBJECT.tar.gz, as soon as a subject is through), and the inputs that reach
# all that was reached (corpora.tar.gz).
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)

seconds=$1 cores=$2
shift 2
subjects=("$@")
[ ${#subjects[@]} -gt 0 ] || subjects=(stairs jobs answers points packs prices measures)
out=$(realpath -m "${OUT:-$here/out}")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$out"
# With the machine's own C++ library, or the one that came along.
starts() { FUZZ_SUBJECT=measures "$here/guided" -runs=0 >"$work/starts" 2>&1; }
starts || export LD_LIBRARY_PATH="$here/lib"
starts || { cat "$work/starts" >&2; exit 1; }
# Watched code is slower than what is shipped, and the machine is shared by as many as it has cores.
export FUZZ_SLOWER="${FUZZ_SLOWER:-3}"

# Sixteen shares. A subject has a core's worth of them at least.
share() { case $1 in stairs) echo 6 ;; jobs) echo 4 ;; answers) echo 2 ;; *) echo 1 ;; esac; }
# The longest input, bytes.
most() {
    case $1 in
        jobs | packs) echo 24000 ;;
        points | prices | answers) echo 4096 ;;
        measures) echo 96 ;;
        *) echo 512 ;;
    esac
}
all=0
for subject in "${subjects[@]}"; do all=$((all + $(share "$subject"))); done

fuzz() {
    local subject=$1 folder=$work/$1 workers options=() from=(corpus)
    workers=$((cores * $(share "$subject") / all))
    [ "$workers" -gt 0 ] || workers=1
    mkdir -p "$folder/corpus" "$folder/failed" "$folder/merged"
    [ ! -d "$here/seeds/$subject" ] || from+=("$here/seeds/$subject")
    [ ! -s "$here/words/$subject" ] || options+=("-dict=$here/words/$subject")
    cd "$folder"
    # Each worker is a process that may fail; what it finds new joins the corpus of all.
    FUZZ_SUBJECT=$subject timeout "$((seconds + 45))" "$here/guided" -fork="$workers" -ignore_crashes=1 -ignore_timeouts=1 \
        -ignore_ooms=1 -max_total_time="$seconds" -timeout=120 -rss_limit_mb=2048 \
        -max_len="$(most "$subject")" -artifact_prefix=failed/ "${options[@]}" \
        "${from[@]}" >log 2>&1 || true
    # The fewest of them that reach the same; all of them where there is no time for that.
    FUZZ_SUBJECT=$subject timeout 60 "$here/guided" -set_cover_merge=1 -timeout=120 \
        -rss_limit_mb=2048 -max_len="$(most "$subject")" -artifact_prefix="$folder/again-" \
        merged "${from[@]}" >merge 2>&1 || { rm -f merged/* && cp -r corpus/. merged; }
    local last runs
    last=$(grep -aE '^#[0-9]+: cov:' log | tail -1 || true)
    runs=$(sed -nE 's/^#([0-9]+):.*/\1/p' <<<"$last")
    said() { sed -nE "s|.*$1: ([0-9/]+).*|\1|p" <<<"$last"; }
    printf '%-9s workers %2d, executions %9d, a second %7d, corpus %5d files (merged %4d), edges %6s, features %6s, memory/time/crashes %s, failed inputs %d\n' \
        "$subject" "$workers" "${runs:-0}" "$((${runs:-0} / seconds))" "$(ls corpus | wc -l)" \
        "$(ls merged | wc -l)" "$(said cov)" "$(said ft)" "$(said oom/timeout/crash)" \
        "$(ls failed | grep -cv '^slow-unit')" >line || true
    # Kept at once: whatever ends this early, what failed is there.
    cat line >>"$out/lines.txt"
    tar czf "$out/failed-$subject.tar.gz" failed log
    # What each that failed says, by what is said.
    local one end=$((SECONDS + 60))
    for one in $(ls -Sr failed | grep -v '^slow-unit' || true); do
        [ $SECONDS -lt $end ] || break
        FUZZ_SUBJECT=$subject timeout 30 "$here/guided" -timeout=25 -artifact_prefix="$folder/again-" \
            "failed/$one" >once 2>&1 || true
        { grep -aA1 -m1 -E 'panicked at|ERROR: libFuzzer' once || echo "it does not fail again"; } |
            tr '\n' ' ' | cut -c1-300
        echo "  [$one]"
    done | sort >said
}
for subject in "${subjects[@]}"; do fuzz "$subject" & done
wait
cd "$work"
{
    echo "$seconds s on $cores cores of $(nproc), FUZZ_SLOWER=$FUZZ_SLOWER"
    for subject in "${subjects[@]}"; do cat "$subject/line" || echo "$subject: no line"; done
    for subject in "${subjects[@]}"; do
        [ ! -s "$subject/said" ] || { echo "== $subject" && cut -c1-400 "$subject/said"; }
    done
} | tee "$out/report.txt"
tar czf "$out/corpora.tar.gz" */merged
