"""The finished model read by trimesh: the parts, their boxes, their volumes, as `parts --json` has them.

Both files are read: that of `model` and `sheets`, and the smaller one within the client's page.

- Every part is one node of its name under one for the job, and nothing else has a shape.
- The box of each, turned back from glTF's y up and metres (ISO/IEC 12113:2022, 3.4), is that of the part.
- The volume and centre that its triangles enclose are the part's; where its pieces as drawn have
  something in common, which the list counts once, their volumes alone are held, with it.
- The looks are the variants of KHR_materials_variants, in their order.

Cases are those of `building`: every scene and demo, crooked flights, and one whose names are hard to
write. Lengths are millimetres. Places are floats of 32 bits in metres: on a house of ten metres a half
step is 0.0005 mm, and a volume is off by no more than that over the surface.
"""

import base64
import io
import json
import struct

import numpy as np
import trimesh

import building
from check import Check

FRESH_SEEDS = 1
MM = 1e-3
STEP_MM = 5e-4
BOX_MM = 1e-3
Y_UP = np.array([[1, 0, 0], [0, 0, -1], [0, 1, 0]])

cases = building.cases


def told(glb):
    """What the first chunk of the file says."""
    long, kind = struct.unpack_from("<I4s", glb, 12)
    assert kind == b"JSON"
    return json.loads(glb[20 : 20 + long])


def bodies(glb):
    """Every node with a shape: its name and its mesh, in mm with z up, in the order of the file."""
    scene = trimesh.load_scene(io.BytesIO(glb), file_type="glb", merge_primitives=True)
    found = []
    for node in scene.graph.nodes_geometry:
        turn, geometry = scene.graph[node]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(turn)
        corners = np.asarray(mesh.vertices) @ Y_UP.T / MM
        found.append((node, trimesh.Trimesh(corners, mesh.faces, process=False)))
    return found


def part_checks(which, glb, parts):
    found = bodies(glb)
    yield Check(f"parts, {which}", float(len(found)), float(len(parts)), 1e-9)
    names = [node["name"] for node in told(glb)["nodes"] if "mesh" in node]
    yield Check(f"names, {which}", float(names == [part["id"] for part in parts]), 1.0, 1e-9)
    # A name that comes twice is numbered by trimesh: those are taken by their order.
    by_name = {}
    for name, mesh in found:
        by_name.setdefault(name, []).append(mesh)
    rest = [mesh for name, mesh in found if name not in {part["id"] for part in parts}]
    for part in parts:
        own = by_name.get(part["id"]) or rest
        yield Check(f"found by name, {which}", float(bool(own)), 1.0, 1e-9)
        if not own:
            continue
        mesh = own.pop(0)
        low, high = mesh.bounds
        for axis in range(3):
            yield Check(f"box, {which}", part["low_mm"][axis], float(low[axis]), BOX_MM)
            yield Check(f"box, {which}", part["high_mm"][axis], float(high[axis]), BOX_MM)
        give = mesh.area * STEP_MM
        ours = part["volume_mm3"] + part["shared_mm3"]
        yield Check(f"volume, {which}", ours, float(mesh.volume), give)
        if part["shared_mm3"] == 0:
            # As far as the volume may be off, its middle may be off by its share of the part's reach.
            reach = BOX_MM + float(np.ptp(mesh.bounds, axis=0).max()) * give / mesh.volume
            for axis in range(3):
                centre = float(mesh.center_mass[axis])
                yield Check(f"centre, {which}", part["centre_mm"][axis], centre, reach)


def checks(case, answer):
    """What trimesh finds in both files, beside our list of the parts."""
    for which in ("whole", "small"):
        glb = base64.b64decode(answer[which])
        yield from part_checks(which, glb, answer["parts"]["parts"])
        variants = told(glb).get("extensions", {}).get("KHR_materials_variants", {}).get("variants", [])
        named = [one["name"] for one in variants] == answer["looks"]
        yield Check(f"looks are variants, {which}", float(named), 1.0, 1e-9)
