#!/bin/bash
# What the program is built of: licences, sources, duplicates and advisories held against .deny.toml,
# and a bill of materials in CycloneDX.
#
#     bash tests/supply.sh [FOLDER]
#
# The bill and the notices of all that is built in go into FOLDER (a new one if not given). Wants
# cargo-deny and cargo-cyclonedx, which are not in tests/all.sh since building them takes minutes:
#
#     cargo install --locked cargo-deny cargo-cyclonedx
#
# Advisories want RustSec's database. ADVISORIES may name a git repository that is a copy of it; where
# none is to be had, that is said, and the rest is held all the same.
set -euo pipefail
cd "$(dirname "$0")/.."
for tool in cargo-deny cargo-cyclonedx; do
    command -v "$tool" >/dev/null || {
        echo "$tool is not here: cargo install --locked $tool" >&2
        exit 1
    }
done
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
# The tool writes beside Cargo.toml; that is no place for it.
cargo cyclonedx --quiet --format json --spec-version 1.5 --target "$target" --override-filename rakewell-bill
mv rakewell-bill.json "$folder/rakewell.cdx.json"
python3 tests/supply.py bill "$folder/rakewell.cdx.json" "$target"
python3 tests/supply.py notices "$folder/third-party.txt" "$target"
ls -l "$folder"
