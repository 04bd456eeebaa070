#!/usr/bin/env bash
# Every scene and demo for the client: models and pages made with the built program, held against
# outside readers.
#
#     bash tests/page/every.sh PROGRAM [FOLDER]
#
# Of all: the model alone and those within the page, by the Khronos validator (an error or a warning
# fails). In Chromium, with the network off (run.sh): the demo with everything, Weir Cottage (its own
# looks and asks, three ways to build it) from what is asked to what the program reads back, and a job
# that is an attack. Pictures are made if the program has them. In FOLDER the pages stay; a new
# temporary one is removed. Closing line 'N passed, N failed' of each; exit status 0 where all hold.
set -euo pipefail
[ $# -ge 1 ] || {
    echo "tests/page: no PROGRAM named" >&2
    exit 2
}
program=$(realpath "$1")
. "$(dirname "${BASH_SOURCE[0]}")/ready.sh"
root=$(cd "$here/../.." && pwd)
if [ $# -ge 2 ]; then
    mkdir -p "$2"
    work=$(cd "$2" && pwd)
else
    work=$(mktemp -d)
    trap 'rm -rf "$work"' EXIT
fi

# Names and notes that would be markup, a script, or the end of one, if they did not stay text.
attack() {
    local script='</script><script>document.title=`OWNED`</script>' image='<img src=x onerror=owned=1>'
    sed -e '/^    alternatives: \[/,$ d' -e "s|^    name: \".*\"|    name: \"$image\"|" "$root/scenes/straight.ron"
    cat <<RON
    client: (
        looks: [(name: "$image", note: "$script"), (name: "plain", note: "\${owned}{{data}}")],
        asks: [
            (name: "<b onclick=owned=1>", question: "$script$image", note: "$image", choices: ["$script", "$image", "javascript:owned=1"]),
        ],
        answers: [
            (to: "<b onclick=owned=1>", chose: "$image", note: "$script$image", by: "$image", on: "2026-11-28"),
            (note: "$script\n$image", by: "$image"),
        ],
    ),
    alternatives: [(name: "$image", note: "$script", changes: [(field: "design.rail.height", is: "37")])],
)
RON
}
attack >"$work/attack.ron"
cp "$root"/scenes/*.ron "$root"/demo-scenes/*.ron "$work"

for job in "$work"/*.ron; do
    name=${job%.ron}
    pictures=--no-pictures
    case ${name##*/} in quarry-lane | weir-cottage) pictures= ;; esac
    "$program" model "$job" --to "$name.glb" >/dev/null 2>"$work/said" || { cat "$work/said" >&2; exit 1; }
    "$program" page "$job" $pictures --to "$name.html" >/dev/null 2>"$work/said" || { cat "$work/said" >&2; exit 1; }
    # Pictures that could not be drawn are only told by the program, and would leave a check with nothing.
    [ -n "$pictures" ] || grep -q 'id="picture-0"' "$name.html" || grep 'built without pictures' "$work/said" ||
        { cat "$work/said" >&2; exit 1; }
done
echo "$(ls "$work"/*.html | wc -l) pages and as many models made"
node "$here/validate.mjs" "$work"/*.glb "$work"/*.html >"$work/said" || { cat "$work/said" >&2; exit 1; }
tail -1 "$work/said"
export RAKEWELL=$program
node "$here/check.mjs" --attack "$work/attack.html" "$work/quarry-lane.html"
CHECKS='^(is one file|says all|prints|axe finds nothing on a phone, in light|answers|each|what is written)' \
    node "$here/check.mjs" "$work/weir-cottage.html"
