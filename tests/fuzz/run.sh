#!/bin/bash
# Coverage-guided fuzzing with libFuzzer on the project's own toolchain. It needs a C++ compiler and
# nothing else. One target for some seconds, or each of them:
#
#     bash tests/fuzz/run.sh                 # each for a minute
#     bash tests/fuzz/run.sh 600 stairs      # one for ten
#
# What it finds lies in $FUZZ_OUT; give it to the target's program to see it again. Corpora grow there
# too; only the seeds under tests/fuzz/seeds are kept.
set -euo pipefail
cd "$(dirname "$0")"

seconds=${1:-60}
[ $# -gt 0 ] && shift
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(measures jobs packs points prices stairs)
host=$(rustc -vV | sed -n 's/^host: //p')
export CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-$HOME/.cache/rakewell-fuzz}"
out="${FUZZ_OUT:-$CARGO_TARGET_DIR/found}"
# What cargo-fuzz gives the compiler, without a sanitizer: there is no unsafe code of ours to sanitize.
export RUSTFLAGS="--cfg fuzzing -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares -Ccodegen-units=16"
# With a target named, what runs while building is not watched.
cargo build --quiet --locked --target "$host" --bins
[ "$seconds" != 0 ] || exit 0
for target in "${targets[@]}"; do
    mkdir -p "$out/$target/corpus"
    seeds=()
    [ ! -d "seeds/$target" ] || seeds+=("seeds/$target")
    case $target in
        jobs) seeds+=(../../scenes ../../demo-scenes ../bad-input) most=24000 ;;
        packs) seeds+=(../../assets/rules) most=24000 ;;
        points) seeds+=(../it/points/fixtures) most=4096 ;;
        prices) most=4096 ;;
        measures) most=96 ;;
        *) most=512 ;;
    esac
    echo "== $target, $seconds s"
    "$CARGO_TARGET_DIR/$host/debug/$target" -max_total_time="$seconds" -timeout=60 -rss_limit_mb=2048 \
        -max_len="$most" -print_final_stats=1 -verbosity=0 -close_fd_mask=1 \
        -artifact_prefix="$out/$target/" "$out/$target/corpus" "${seeds[@]}" 2>&1 |
        tee "$out/$target/log" | tail -25
done
