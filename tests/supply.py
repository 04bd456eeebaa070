"""The bill of materials, and the notices of what is built in.

    python3 tests/supply.py bill FILE.cdx.json TARGET      # writes it: CycloneDX 1.5
    python3 tests/supply.py held FILE.cdx.json TARGET      # holds one against what cargo builds
    python3 tests/supply.py notices FILE.txt TARGET

The bill is made of cargo's metadata and held against cargo's tree of the released features on TARGET and the
checksums of Cargo.lock; where cyclonedx-python-lib is installed, against the published schema too. The
same lock file gives the same bytes: neither time nor serial number is in it.
"""

import json
import pathlib
import re
import subprocess
import sys
import tomllib

ROOT = pathlib.Path(__file__).resolve().parent.parent
# Files that hold a licence, however a crate calls them, in it or in a folder for them or for fonts.
NAMED = re.compile(r"^(licen[cs]e|copying|notice|unlicense|copyright|ofl|ufl)", re.IGNORECASE)
# What is built in that is no crate: file in the repository, what it is.
OWN = [
    ("assets/fonts/OFL.txt", "IBM Plex Sans, the letters of sheets"),
    ("assets/page/THREE-LICENSE", "three.js, the 3D of the client's page"),
]


def cargo(*args):
    """What cargo prints."""
    return subprocess.run(["cargo", *args], cwd=ROOT, check=True, capture_output=True, text=True).stdout


def built(target):
    """Name and version of every crate of the released features, without our own."""
    text = cargo("tree", "--locked", "--edges", "normal,build", "--target", target, "--prefix", "none", "--no-dedupe")
    crates = {tuple(line.split()[:2]) for line in text.splitlines() if line.strip()}
    return sorted((name, version.removeprefix("v")) for name, version in crates if name != "rakewell")


def locked():
    """Checksum of every crate in the lock file by name and version."""
    packages = tomllib.loads((ROOT / "Cargo.lock").read_text())["package"]
    return {(one["name"], one["version"]): one.get("checksum") for one in packages}


def metadata(target):
    """What cargo knows of every package on a target."""
    return json.loads(cargo("metadata", "--locked", "--format-version", "1", "--filter-platform", target))


def terms(package):
    """A licence as SPDX writes it: crates of old have a stroke for OR."""
    return [{"expression": package["license"].replace("/", " OR ")}]


def purl(package):
    """A package's name among all packages."""
    return f"pkg:cargo/{package['name']}@{package['version'].replace('+', '%2B')}"


def bill(path, target):
    """Writes the bill of materials."""
    known = metadata(target)
    packages = {one["id"]: one for one in known["packages"]}
    own = packages[known["resolve"]["root"]]
    crates, sums = set(built(target)), locked()
    among = {id for id, one in packages.items() if (one["name"], one["version"]) in crates}
    components = [
        {
            "type": "library",
            "bom-ref": purl(one),
            "name": one["name"],
            "version": one["version"],
            "description": " ".join((one["description"] or "").split()),
            "hashes": [{"alg": "SHA-256", "content": sums[one["name"], one["version"]]}],
            "licenses": terms(one),
            "purl": purl(one),
            "externalReferences": [{"type": "vcs", "url": one["repository"]}] if one["repository"] else [],
        }
        for one in (packages[id] for id in among)
    ]
    edges = [
        {
            "ref": purl(packages[node["id"]]),
            "dependsOn": sorted(purl(packages[id]) for id in set(node["dependencies"]) & among),
        }
        for node in known["resolve"]["nodes"]
        if node["id"] in among or node["id"] == own["id"]
    ]
    told = {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": purl(own),
                "name": own["name"],
                "version": own["version"],
                "description": own["description"],
                "licenses": terms(own),
                "purl": purl(own),
            },
            "properties": [{"name": "rust:target", "value": target}],
        },
        "components": sorted(components, key=lambda one: one["bom-ref"]),
        "dependencies": sorted(edges, key=lambda one: one["ref"]),
    }
    pathlib.Path(path).write_text(json.dumps(told, indent=1, ensure_ascii=False) + "\n")
    held(path, target)


def schema(path):
    """What the published schema says of the bill."""
    try:
        from cyclonedx.schema import SchemaVersion
        from cyclonedx.validation.json import JsonStrictValidator
    except ImportError:
        return "not held, for cyclonedx-python-lib[json-validation] is not installed"
    wrong = JsonStrictValidator(SchemaVersion.V1_5).validate_str(pathlib.Path(path).read_text())
    assert wrong is None, wrong
    return "kept"


def held(path, target):
    """The bill names what is built, once each, with its licence, its checksum and where it is from."""
    told = json.loads(pathlib.Path(path).read_text())
    assert told["bomFormat"] == "CycloneDX" and told["specVersion"] == "1.5", told.get("specVersion")
    own = told["metadata"]["component"]
    assert (own["name"], own["version"]) == ("rakewell", tomllib.loads((ROOT / "Cargo.toml").read_text())["package"]["version"])
    components = told["components"]
    named = sorted((one["name"], one["version"]) for one in components)
    crates = built(target)
    assert len(set(named)) == len(named), "a component stands there twice"
    missing, more = sorted(set(crates) - set(named)), sorted(set(named) - set(crates))
    assert not missing, f"not in the bill: {missing}"
    assert not more, f"in the bill and not built: {more}"
    sums = locked()
    for one in components:
        key = (one["name"], one["version"])
        assert one["type"] == "library" and one["purl"] == purl(one), key
        assert one.get("licenses"), f"{key} has no licence"
        hashes = {given["alg"]: given["content"] for given in one.get("hashes", [])}
        assert hashes.get("SHA-256") == sums[key], f"{key}: its checksum is not the lock file's"
    # Every edge leads to what is there.
    known = {one["bom-ref"] for one in components} | {own["bom-ref"]}
    for edge in told["dependencies"]:
        assert edge["ref"] in known and set(edge.get("dependsOn", [])) <= known, edge["ref"]
    print(f"schema of CycloneDX 1.5: {schema(path)}")
    print(f"{len(components)} components, as many as cargo builds for {target}, each with licence and checksum")


def texts(folder):
    """The licence files of a crate, by name."""
    places = [folder, *(one for one in folder.iterdir() if one.is_dir() and NAMED.match(one.name + "s"))]
    places += [one for one in folder.rglob("fonts") if one.is_dir()]
    found = {file for place in places for file in place.iterdir() if file.is_file() and NAMED.match(file.name)}
    return sorted(found)


def notices(path, target):
    """One text of all notices: each licence text once, under the names of what it is of."""
    known = {(one["name"], one["version"]): one for one in metadata(target)["packages"]}
    under, silent = {}, []
    for key in built(target):
        one = known[key]
        files = texts(pathlib.Path(one["manifest_path"]).parent)
        called = f"{key[0]} {key[1]} ({one['license']})"
        if not files:
            silent.append(called)
        for file in files:
            words = file.read_text(errors="replace").strip()
            under.setdefault(words, []).append(called)
    for file, called in OWN:
        under.setdefault((ROOT / file).read_text().strip(), []).append(called)
    rule = "-" * 72
    parts = ["What is built into rakewell, and the terms of each part as its makers state them.\n"]
    for words, names in sorted(under.items(), key=lambda pair: pair[1][0]):
        parts.append(f"{rule}\n" + "\n".join(dict.fromkeys(names)) + f"\n\n{words}\n")
    # The crate's folder has no word of it; Bevy's CREDITS.md has.
    silent.append("Fira Mono, the letters within bevy_text (OFL-1.1)")
    parts.append(f"{rule}\nThese state their terms by name alone:\n" + "\n".join(silent) + "\n")
    text = "\n".join(parts)
    pathlib.Path(path).write_text(text)
    print(f"notices: {len(under)} texts, {len(silent)} crates with a name of a licence alone, {len(text) // 1024} KiB")


def main():
    what, path, target = sys.argv[1:]
    {"bill": bill, "held": held, "notices": notices}[what](path, target)


main()
