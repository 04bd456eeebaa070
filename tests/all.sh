#!/bin/bash
# Everything that must pass, in one command, on a bare Debian machine with Rust:
#
#     bash tests/all.sh
#
# It installs through apt what is missing (asking sudo where it must), builds outside the clone,
# and stops at the first thing that fails.
set -euo pipefail
cd "$(dirname "$0")/.."

export CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-$HOME/.cache/rakewell-target}"
export CARGO_TERM_COLOR="${CARGO_TERM_COLOR:-never}"
began=$SECONDS
section=starting

heading() {
    section=$1
    printf '\n== %s  (%d min %02d s)\n' "$1" $(((SECONDS - began) / 60)) $(((SECONDS - began) % 60))
}
pictures=$(mktemp -d)
finish() {
    local status=$?
    rm -rf "$pictures"
    [ "$status" = 0 ] || printf '\n== FAILED in: %s\n' "$section" >&2
}
trap finish EXIT

heading "what this machine lacks"
lacking=()
command -v cc >/dev/null || lacking+=(gcc libc6-dev)
command -v Xvfb >/dev/null || lacking+=(xvfb)
command -v xdotool >/dev/null || lacking+=(xdotool)
command -v import >/dev/null || lacking+=(imagemagick)
command -v pdftotext >/dev/null || lacking+=(poppler-utils)
command -v node >/dev/null || lacking+=(nodejs)
command -v npm >/dev/null || lacking+=(npm)
command -v chromium >/dev/null || lacking+=(chromium fonts-dejavu-core)
python3 -c 'import venv, ensurepip' 2>/dev/null || lacking+=(python3-venv)
has_library() { ldconfig -p 2>/dev/null | grep -qF "$1" || /sbin/ldconfig -p 2>/dev/null | grep -qF "$1"; }
has_library libvulkan.so.1 || lacking+=(libvulkan1)
compgen -G '/usr/share/vulkan/icd.d/*.json' >/dev/null ||
    compgen -G '/etc/vulkan/icd.d/*.json' >/dev/null ||
    lacking+=(mesa-vulkan-drivers)
# The window opens these by name as it starts; a desktop has them all.
has_library libX11.so.6 || lacking+=(libx11-6)
has_library libX11-xcb.so.1 || lacking+=(libx11-xcb1)
has_library libXcursor.so.1 || lacking+=(libxcursor1)
has_library libXi.so.6 || lacking+=(libxi6)
has_library libXrandr.so.2 || lacking+=(libxrandr2)
has_library libxkbcommon-x11.so.0 || lacking+=(libxkbcommon-x11-0)
if [ ${#lacking[@]} -gt 0 ]; then
    echo "installing: ${lacking[*]}"
    as_root=()
    [ "$(id -u)" = 0 ] || as_root=(sudo)
    export DEBIAN_FRONTEND=noninteractive
    "${as_root[@]}" apt-get update -qq
    "${as_root[@]}" apt-get install -y -qq --no-install-recommends "${lacking[@]}" >/dev/null
else
    echo "nothing"
fi

heading "format"
cargo fmt --check

heading "the core stands without the window's libraries"
tree=$(cargo tree --no-default-features --edges normal,build --prefix none)
if grep -E '^(bevy|wgpu|winit|egui)' <<<"$tree"; then
    echo "the core depends on these" >&2
    exit 1
fi
echo "$(sort -u <<<"$tree" | wc -l) crates, none of them bevy, wgpu, winit or egui"

heading "the fuzz package is locked to what the crate is built of"
cargo tree --locked --manifest-path tests/fuzz/Cargo.toml >/dev/null
echo "it is"

heading "clippy"
cargo clippy --quiet --all-targets -- -D warnings

heading "tests of the core alone"
cargo test --quiet --no-default-features --lib --bins --test it

heading "tests of everything, documentation included"
cargo test --quiet

heading "against the reference libraries"
bash tests/reference/run.sh

heading "the survey sheet as others read it"
bash tests/sheet.sh "$CARGO_TARGET_DIR/debug/rakewell"

heading "pictures without a window"
draw() { # NAME, then the options of `rakewell picture`
    local file=$pictures/$1.png
    shift
    cargo run --quiet -- picture --to "$file" --size 640x400 "$@"
    # A picture of nothing has one colour or few.
    local colours
    colours=$(convert "$file" -format '%w %h %k' info:)
    echo "$(basename "$file"): $colours (width, height, colours)"
    [[ $colours =~ ^640\ 400\ ([0-9]+)$ ]] && [ "${BASH_REMATCH[1]}" -ge 200 ]
}
draw work --view front
draw stretched --view above --stretch 10
draw show --view side --mood show
draw starter scenes/straight.ron --view front
draw surveyed demo-scenes/mill-row.ron --view front

heading "the client's page in a browser"
bash tests/page/every.sh "$CARGO_TARGET_DIR/debug/rakewell"

heading "a window with real mouse and keys"
bash tests/window.sh

heading "passed"
