#!/bin/bash
# Coverage-guided fuzzing with libFuzzer on the project's own toolchain. It needs a C++ compiler and
# nothing else. All subjects at once for some seconds on some cores, or some of them:
#
#     bash tests/fuzz/run.sh                 # each a minute, all of them on one core
#     bash tests/fuzz/run.sh 600 16          # ten minutes on sixteen cores
#     bash tests/fuzz/run.sh 600 1 stairs    # one for ten
#     bash tests/fuzz/run.sh 0               # only builds: see what it prints
#
# What it finds lies in $OUT. The folder `pack` that it makes runs on any machine of this kind by
# itself, with neither Rust nor the repository: bash pack/many.sh SECONDS CORES.
set -euo pipefail
cd "$(dirname "$0")"

seconds=${1:-60} cores=${2:-1}
host=$(rustc -vV | sed -n 's/^host: //p')
export CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-$HOME/.cache/rakewell-fuzz}"
export OUT="${OUT:-$CARGO_TARGET_DIR/found}"
# What cargo-fuzz gives the compiler, without a sanitizer: there is no unsafe code of ours to sanitize.
export RUSTFLAGS="--cfg fuzzing -Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4 \
-Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table \
-Cllvm-args=-sanitizer-coverage-trace-compares -Ccodegen-units=16"
# With a target named, what runs while building is not watched.
cargo build --quiet --locked --target "$host" --bin guided

pack=$CARGO_TARGET_DIR/pack
rm -rf "$pack"
mkdir -p "$pack/lib" "$pack/words"
cp many.sh "$pack"
strip -s -o "$pack/guided" "$CARGO_TARGET_DIR/$host/debug/guided"
# The fuzzer is of C++.
ldd "$pack/guided" | awk '$1 ~ /^lib(stdc\+\+|gcc_s)/ { print $3 }' | xargs -I{} cp -L {} "$pack/lib"

seeds() { mkdir -p "$pack/seeds/$1" && cp -r "${@:2}" "$pack/seeds/$1"; }
for folder in seeds/*; do seeds "${folder#seeds/}" "$folder"/*; done
seeds jobs ../../scenes/* ../../demo-scenes/*.ron
(cd ../bad-input && find . -type f | sed 's|^\./||') | while read -r file; do
    cp "../bad-input/$file" "$pack/seeds/jobs/bad-${file//\//-}"
done
seeds packs ../../assets/rules/*
seeds points ../it/points/fixtures/*
# Each scene as it is, with the outputs that cost little: an input's first two bytes.
mkdir -p "$pack/seeds/stairs"
for scene in {0..16}; do
    printf "\\x$(printf %02x "$scene")\\x07" >"$pack/seeds/stairs/$scene"
done
# The words of a subject, for the fuzzer to put in: names of fields and choices.
for subject in jobs packs answers prices; do
    find "$pack/seeds/$subject" -type f -exec sed 's|//.*||' {} + |
        grep -aohE '[A-Za-z_][A-Za-z_0-9]{2,}' | sort -u | sed 's/.*/"&"/' >"$pack/words/$subject"
done
[ "$seconds" != 0 ] || { echo "built: bash $pack/many.sh SECONDS CORES"; exit 0; }
exec bash "$pack/many.sh" "$seconds" "$cores" "${@:3}"
