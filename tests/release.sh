#!/bin/bash
# What is given out: man pages, completions, notices and a Debian package of a program that is built,
# made and looked through.
#
#     cargo build --release --locked
#     bash tests/release.sh PROGRAM [FOLDER]
#
# The package goes into FOLDER (a new one if not given). Wants cargo-deb (cargo install --locked
# cargo-deb) and dpkg; mandoc and lintian are asked where they are there. Two runs with one program
# give the same bytes: the time within the package is SOURCE_DATE_EPOCH, the last commit's if not set.
set -euo pipefail
cd "$(dirname "$0")/.."
fail() {
    echo "$*" >&2
    exit 1
}
program=$(realpath "${1:?the program to give out}")
folder=$(realpath -m "${2:-$(mktemp -d)}")
command -v cargo-deb >/dev/null || fail "cargo-deb is not here: cargo install --locked cargo-deb"
stage=$(mktemp -d)
trap 'rm -rf "$stage"' EXIT
mkdir -p "$folder" "$stage/release"
export SOURCE_DATE_EPOCH="${SOURCE_DATE_EPOCH:-$(git log -1 --format=%ct 2>/dev/null || echo 0)}"

echo "== man pages and completions"
cp "$program" "$stage/release/rakewell"
"$stage/release/rakewell" manual --to "$stage/release/usr" >"$stage/written"
pages=("$stage"/release/usr/share/man/man1/*.1)
echo "$(wc -l <"$stage/written") files, ${#pages[@]} of them pages"
if command -v mandoc >/dev/null; then
    # That a page has no date is meant: the same program writes the same page. The breaks are before the
    # lists of what an option takes.
    ! mandoc -T lint -W warning "${pages[@]}" | grep -vE 'parse date|missing date|skipping paragraph macro: br' ||
        fail "mandoc finds these"
else
    echo "mandoc is not here: pages not linted"
fi
# Debian has them packed, without a time.
gzip -9n "${pages[@]}"
shells=$stage/release/usr/share
bash -n "$shells/bash-completion/completions/rakewell"
! command -v zsh >/dev/null || zsh -n "$shells/zsh/site-functions/_rakewell"
! command -v fish >/dev/null || fish -n "$shells/fish/vendor_completions.d/rakewell.fish"

echo "== notices"
python3 tests/supply.py notices "$stage/release/third-party.txt" "$(rustc -vV | sed -n 's/^host: //p')"

echo "== Debian package"
version=$(sed -n 's/^version = "\(.*\)"$/\1/p' Cargo.toml | head -1)
maintainer=$(sed -n 's/^maintainer = "\(.*\)"$/\1/p' Cargo.toml)
gzip -9nc CHANGELOG.md >"$stage/release/changelog.gz"
gzip -9nc >"$stage/release/changelog.Debian.gz" <<END
rakewell ($version-1) unstable; urgency=medium

  * Version $version; what changed is in changelog.gz beside this file.

 -- $maintainer  $(LC_ALL=C date -uRd "@$SOURCE_DATE_EPOCH")
END
CARGO_TARGET_DIR=$stage cargo deb --locked --no-build --quiet --output "$folder/"
package=$(ls -t "$folder"/rakewell_*.deb | head -1)
dpkg-deb --info "$package" | sed -n 's/^ \(Package\|Version\|Architecture\|Installed-Size\|Depends\|Recommends\): /\1: /p'
dpkg-deb --contents "$package" | awk '{ print $1, $3, $6 }' | tee "$stage/contents"
for asked in usr/bin/rakewell usr/share/man/man1/rakewell.1.gz usr/share/applications/rakewell.desktop \
    usr/share/icons/hicolor/scalable/apps/rakewell.svg usr/share/doc/rakewell/copyright \
    usr/share/bash-completion/completions/rakewell usr/share/doc/rakewell/examples/quarry-lane.ron; do
    grep -qF "./$asked" "$stage/contents" || fail "$asked is not in the package"
done
! command -v desktop-file-validate >/dev/null || desktop-file-validate assets/desktop/rakewell.desktop
if command -v lintian >/dev/null; then
    # Errors end it; what it warns of is read.
    lintian --allow-root --fail-on error --suppress-tags bogus-mail-host-in-debian-changelog,bogus-mail-host "$package" || fail "lintian finds errors"
else
    echo "lintian is not here: package not linted"
fi

echo "== unpacked, and run from there"
dpkg -x "$package" "$stage/root"
cmp "$stage/root/usr/share/doc/rakewell/copyright" assets/desktop/copyright || fail "the licences are not whole"
installed=$stage/root/usr/bin/rakewell
own() { env -u DISPLAY -u WAYLAND_DISPLAY "$installed" "$@"; }
[ "$(own --version)" = "rakewell $version" ] || fail "it is not version $version: $(own --version)"
status=0
own inspect "$stage/root/usr/share/doc/rakewell/examples/quarry-lane.ron" >"$stage/told" || status=$?
[ "$status" = 1 ] || fail "the demo has trouble, and inspect ended with $status"
own new "$stage/stair.ron" 2>/dev/null
own inspect "$stage/stair.ron" >/dev/null || fail "the starter has no trouble, and inspect ended with $?"
echo "version $version, the demo inspected in $(wc -l <"$stage/told") lines, a starter without trouble"
ls -l "$package"
