"""All pairs of pieces that overlap, by python-fcl: its tree of boxes, and its own test of each pair.

    clash_time.py PIECES.json

The file holds `[[part, corners, faces], ..]`, faces as rings of indices, outward. Prints the seconds
of the best of several rounds, then how many pairs of different parts overlap. Making the objects is
not counted, as making our solids is not.
"""

import json
import sys
import time
from pathlib import Path

import fcl
import numpy as np

ROUNDS = 20


def convex(corners, faces):
    flat = [number for face in faces for number in (len(face), *face)]
    return fcl.Convex(np.array(corners), len(faces), np.array(flat))


def main():
    pieces = json.loads(Path(sys.argv[1]).read_text())
    shapes = [convex(corners, faces) for _, corners, faces in pieces]
    objects = [fcl.CollisionObject(shape) for shape in shapes]
    parts = {id(shape): part for shape, (part, _, _) in zip(shapes, pieces)}
    request = fcl.CollisionRequest(num_max_contacts=1_000_000, enable_contact=True)
    times, data = [], None
    for _ in range(ROUNDS):
        data = fcl.CollisionData(request=request)
        began = time.perf_counter()
        manager = fcl.DynamicAABBTreeCollisionManager()
        manager.registerObjects(objects)
        manager.setup()
        manager.collide(data, fcl.defaultCollisionCallback)
        times.append(time.perf_counter() - began)
    met = {tuple(sorted((parts[id(one.o1)], parts[id(one.o2)]))) for one in data.result.contacts}
    print(min(times), sum(a != b for a, b in met))


main()
