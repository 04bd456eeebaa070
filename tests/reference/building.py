"""The model for a designer read by ifcopenshell: the schema, the rules, the solids, the names.

- The file opens, its schema is IFC4, and `ifcopenshell.validate` has nothing to say: of every model with
  the types of the schema, and with its rules too (EXPRESS WHERE and UNIQUE), which take ten times as
  long, of as few models as have every class and every kind of part that any of them has.
- Every part of `parts --json` is one product, named alike, and no other product has a shape.
- The volume and the box of each product by ifcopenshell's geometry kernel are those of `parts --json`;
  its centre is that of the tessellated body (the divergence theorem, in numpy).
- The union of its convex pieces by manifold3d has the same volume: pieces do not overlap.
- Identifiers are those of Python's uuid5 and ifcopenshell's compression, and none comes twice.
- Property and quantity sets of the standard have its names and types (ifcopenshell's templates of
  IFC4 ADD2), and volumes told there are those of the solids.
- Flights have as many risers as the job, and their parts.

Cases are every scene and demo, crooked flights of `sheets`, and one whose names are hard to write.
Lengths are millimetres; 0.1 mm and 0.1 % are asked, rounding is held.
"""

import json
import re
import uuid
from collections import Counter
from pathlib import Path

import ifcopenshell
import ifcopenshell.geom
import ifcopenshell.guid
import ifcopenshell.util.element
import ifcopenshell.util.pset
import ifcopenshell.validate
import manifold3d
import numpy as np

import sheets
from check import Check

FRESH_SEEDS = 1
ROOT = Path(__file__).parent.parent.parent
MM = 1e-3
BOX_MM = 1e-3
VOLUME = 1e-6
SPACE = uuid.uuid5(uuid.UUID(int=0), "rakewell")
HARD = "O'Brien's \"stair\" \\ <b>&amp; \u00e9\u6f22\U0001f6aa #1=IFCWALL();"
HARD_NEWEL = "N<1> 'd\u00e9part' \\X\\"
TEMPLATES = ifcopenshell.util.pset.PsetQto("IFC4")


def cases(rng):
    """Every scene, then crooked flights, then a name that is hard to write."""
    files = sorted((ROOT / "scenes").glob("*.ron")) + sorted((ROOT / "demo-scenes").glob("*.ron"))
    scenes = [{"ron": path.read_text()} for path in files]
    crooked = [{"job": sheets.one_case(rng, False)["job"]} for _ in range(2)]
    hard = sheets.one_case(rng, False)["job"] | {"name": HARD}
    hard = json.loads(json.dumps(hard).replace('"N1"', json.dumps(HARD_NEWEL)))
    return scenes + crooked + [{"job": hard}]


def said():
    """How much ifcopenshell complained since it was last asked; how long it took is no complaint."""
    lines = [line for line in ifcopenshell.get_log().splitlines() if not line.startswith("[notice]")]
    for line in lines[:5]:
        print("    ifcopenshell says:", line[:300])
    return float(len(lines))


def kinds_of(answer):
    """The classes of a model, and what its parts are."""
    classes = set(re.findall(r"=\s*(IFC[A-Z0-9]+)\(", answer["ifc"]))
    return classes | {one["kind"] for one in answer["parts"]["parts"]}


def prepare(pairs):
    """Marks the cases whose models are held against the rules: the one with the most kinds, then those
    that have the most others, until none has another; and the one that is hard to write."""
    left = set().union(*(kinds_of(answer) for _, answer in pairs))
    while left:
        case, answer = max(pairs, key=lambda pair: len(left & kinds_of(pair[1])))
        case["rules"] = True
        left -= kinds_of(answer)
    pairs[-1][0]["rules"] = True


def complaints(model, rules):
    logger = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(model, logger, express_rules=rules)
    for one in logger.statements[:5]:
        print("    ifcopenshell says:", {key: str(value)[:300] for key, value in one.items()})
    return len(logger.statements)


def bodies(model):
    """Corners, mm, and triangles of every product with a shape, by its identifier."""
    settings = ifcopenshell.geom.settings()
    settings.set("use-world-coords", True)
    iterator = ifcopenshell.geom.iterator(settings, model)
    found = {}
    if iterator.initialize():
        while True:
            shape = iterator.get()
            corners = np.array(shape.geometry.verts).reshape(-1, 3) / MM
            triangles = np.array(shape.geometry.faces).reshape(-1, 3)
            found[shape.guid] = (corners, triangles)
            if not iterator.next():
                break
    return found


def volume_and_centre(corners, triangles):
    origin = corners.mean(axis=0)
    a, b, c = (corners[triangles[:, at]] - origin for at in range(3))
    parts = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    centre = (parts[:, None] * (a + b + c) / 4).sum(axis=0) / parts.sum()
    return float(parts.sum()), origin + centre


def united(product):
    """The volume of the union of a product's convex pieces, mm^3."""
    solids = []
    for item in product.Representation.Representations[0].Items:
        corners = np.array(item.Coordinates.CoordList, dtype=float)
        triangles = []
        for face in item.Faces:
            ring = [index - 1 for index in face.CoordIndex]
            triangles += [[ring[0], ring[at], ring[at + 1]] for at in range(1, len(ring) - 1)]
        mesh = manifold3d.Mesh64(
            vert_properties=corners, tri_verts=np.array(triangles, dtype=np.uint64)
        )
        solids.append(manifold3d.Manifold(mesh))
    bad = [solid for solid in solids if solid.status() != manifold3d.Error.NoError]
    if bad:
        return float("nan")
    return manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add).volume()


def identifier(job, key):
    return ifcopenshell.guid.compress(uuid.uuid5(SPACE, f"{job}\n{key}").hex)


def set_checks(model):
    """Names and types of the standard's sets, one check for each property."""
    for element in model.by_type("IfcObject"):
        for relation in element.IsDefinedBy:
            defined = relation.RelatingPropertyDefinition
            if not defined.Name.startswith(("Pset_", "Qto_")):
                continue
            template = TEMPLATES.get_by_name(defined.Name)
            known = template is not None and defined.Name in TEMPLATES.get_applicable_names(element.is_a())
            yield Check("sets are the standard's", float(known), 1.0, 1e-9)
            if not known:
                print("    no such set for", element.is_a(), defined.Name)
                continue
            told = {one.Name: one for one in template.HasPropertyTemplates}
            if defined.is_a("IfcElementQuantity"):
                kinds = {"IfcQuantityLength": "Q_LENGTH", "IfcQuantityVolume": "Q_VOLUME"}
                fits = [
                    one.Name in told and told[one.Name].TemplateType == kinds[one.is_a()]
                    for one in defined.Quantities
                ]
            else:
                fits = [
                    one.Name in told and told[one.Name].PrimaryMeasureType == one.NominalValue.is_a()
                    for one in defined.HasProperties
                ]
            yield Check("properties are the standard's", float(sum(fits)), float(len(fits)), 1e-9)


def part_checks(job, model, parts):
    """Each product against its part."""
    shapes = bodies(model)
    yield Check("said on making solids", said(), 0.0, 1e-9)
    shaped = [one for one in model.by_type("IfcProduct") if one.Representation]
    by_guid = {one.GlobalId: one for one in shaped}
    seen = Counter()
    yield Check("products with a shape", float(len(shaped)), float(len(parts)), 1e-9)
    for part in parts:
        name = part["id"]
        seen[name] += 1
        again = f"#{seen[name]}" if seen[name] > 1 else ""
        product = by_guid.get(identifier(job, f"part {name}{again}"))
        yield Check("identifiers by uuid5", float(product is not None), 1.0, 1e-9)
        if product is None:
            continue
        yield Check("names", float(product.Name == name and product.Tag == name), 1.0, 1e-9)
        corners, triangles = shapes[product.GlobalId]
        volume, centre = volume_and_centre(corners, triangles)
        ours = part["volume_mm3"]
        yield Check("volume, ifcopenshell", ours, volume, VOLUME * volume)
        yield Check("volume, manifold3d's union", ours, united(product), VOLUME * volume)
        sets = ifcopenshell.util.element.get_psets(product, qtos_only=True)
        [told] = [one["NetVolume"] for one in sets.values() if "NetVolume" in one]
        yield Check("volume told", told * 1e9, volume, VOLUME * volume)
        low, high = corners.min(axis=0), corners.max(axis=0)
        for axis in range(3):
            yield Check("box", part["low_mm"][axis], float(low[axis]), BOX_MM)
            yield Check("box", part["high_mm"][axis], float(high[axis]), BOX_MM)
            yield Check("centre", part["centre_mm"][axis], float(centre[axis]), BOX_MM)
        # From end to end is no more than the box's diagonal. Along no axis can a body reach less than
        # its longest one does over root 3.
        longest = float((high - low).max())
        fits = longest / np.sqrt(3) - BOX_MM <= part["length_mm"] <= float(np.linalg.norm(high - low)) + BOX_MM
        yield Check("length within its box", float(fits), 1.0, 1e-9)


def tree_checks(model, parts):
    """Everything stands in the storey, in one tree."""
    [storey] = model.by_type("IfcBuildingStorey")
    outside = [
        one.Name for one in model.by_type("IfcElement") if ifcopenshell.util.element.get_container(one) != storey
    ]
    yield Check("elements in no storey", float(len(outside)), 0.0, 1e-9)
    for flight in model.by_type("IfcStairFlight"):
        told = ifcopenshell.util.element.get_pset(flight, "Pset_StairFlightCommon")
        words = Counter(one.ObjectType for one in ifcopenshell.util.element.get_parts(flight))
        if words["kick"]:
            yield Check("risers of a flight", float(told["NumberOfRiser"]), float(words["kick"]), 1e-9)
        yield Check("treads of a flight", float(told["NumberOfTreads"]), float(words["tread"]), 1e-9)
    kinds = Counter(one["kind"] for one in parts)
    for word, count in sorted(kinds.items()):
        found = [one for one in model.by_type("IfcElement") if one.ObjectType == word]
        yield Check("parts of a kind", float(len(found)), float(count), 1e-9)


def checks(case, answer):
    """What ifcopenshell finds in the model, beside our list of its parts."""
    # What it said of its own templates.
    ifcopenshell.get_log()
    model = ifcopenshell.file.from_string(answer["ifc"])
    yield Check("said on opening", said(), 0.0, 1e-9)
    yield Check("the schema is IFC4", float(model.schema == "IFC4"), 1.0, 1e-9)
    rules = case.get("rules", False)
    what = "complaints of the schema and its rules" if rules else "complaints of the schema"
    yield Check(what, float(complaints(model, rules)), 0.0, 1e-9)
    yield Check("the same bytes twice", float(answer["again"]), 1.0, 1e-9)
    job = answer["job"]
    [project] = model.by_type("IfcProject")
    yield Check("the job's name", float(project.Name == (job or "stair")), 1.0, 1e-9)
    rooted = [one.GlobalId for one in model.by_type("IfcRoot")]
    yield Check("identifiers that differ", float(len(set(rooted))), float(len(rooted)), 1e-9)
    parts = answer["parts"]["parts"]
    yield from part_checks(job, model, parts)
    yield from tree_checks(model, parts)
    yield from set_checks(model)
