#!/bin/bash
# What the program is built of: licences, sources, duplicates and advisories held against .deny.toml,
# and a bill of materials in CycloneDX.
#
#     bash tests/supply.sh [FOLDER]
#
# The bill and the notices of all that is built in go into FOLDER (a new one if not given). Wants
# cargo-deny (cargo install --locked cargo-deny), which takes minutes to build: so this is not in
# tests/all.sh.
#
# Advisories want RustSec's database. ADVISORIES may name a git repository that is a copy of it; where
# none is to be had, that is said, and the rest is held all the same.
set -euo pipefail
cd "$(dirname "$0")/.."
command -v cargo-deny >/dev/null || {
    echo "cargo-deny is not here: cargo install --locked cargo-deny" >&2
    exit 1
}
folder=$(realpath -m "${1:-$(mktemp -d)}")
mkdir -p "$folder"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

echo "== licences, sources, duplicates"
cargo deny --locked --config .deny.toml check licenses sources bans

echo "== advisories"
if [ -n "${ADVISORIES:-}" ]; then
    # git takes it from there instead.
    export GIT_CONFIG_COUNT=1 GIT_CONFIG_KEY_0="url.$ADVISORIES.insteadOf"
    export GIT_CONFIG_VALUE_0=https://github.com/RustSec/advisory-db
fi
if cargo deny --config .deny.toml fetch db 2>"$work/fetched"; then
    cargo deny --locked --config .deny.toml check advisories
else
    tail -3 "$work/fetched" >&2
    echo "NOT HELD: RustSec's database is not to be had here; name a copy of it in ADVISORIES" >&2
fi

echo "== bill of materials"
target=$(rustc -vV | sed -n 's/^host: //p')
python3 tests/supply.py bill "$folder/rakewell.cdx.json" "$target"
python3 tests/supply.py notices "$folder/third-party.txt" "$target"
ls -l "$folder"
