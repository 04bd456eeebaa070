# What the page's checks need, for run.sh and every.sh to source: Debian's chromium and poppler-utils,
# which it installs where they are missing and it may, and the packages of package-lock.json.
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)

cannot() {
    echo "tests/page: $1" >&2
    echo "0 passed, 1 failed"
    exit 2
}

command -v npm >/dev/null || cannot "no npm (Debian: nodejs, npm)"
if ! command -v chromium >/dev/null || ! command -v pdftotext >/dev/null; then
    as_root=()
    [ "$(id -u)" = 0 ] || as_root=(sudo)
    { "${as_root[@]}" apt-get update -qq && DEBIAN_FRONTEND=noninteractive "${as_root[@]}" apt-get install -y -qq \
        --no-install-recommends chromium poppler-utils fonts-dejavu-core; } >/dev/null 2>&1 ||
        cannot "no chromium, and it could not be installed"
fi
# The stamp is written last, so a broken installation is made again.
stamp=$here/node_modules/installed.json
if ! cmp -s "$here/package-lock.json" "$stamp"; then
    (cd "$here" && npm ci --no-fund --no-audit --ignore-scripts --loglevel=error) >&2 || cannot "npm ci failed"
    cp "$here/package-lock.json" "$stamp"
fi
node "$here/bundle.mjs" --check || cannot "the page's assets are not as they would be made"
