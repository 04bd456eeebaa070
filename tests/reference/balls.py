"""The largest ball through a planar opening: GEOS (shapely), the largest inscribed circle.

An opening whose bounds all run square through it lets a ball pass as wide as the largest circle in
its section. The section is a convex hole, as between balusters, tread and rail or under a bottom
rail, with up to three bars left standing in it. Lengths are millimetres.
"""

import numpy as np
import shapely
from shapely.geometry import MultiPoint, Polygon

from check import Check
from pieces import rotation

COUNT = 60
# GEOS stops once no other cell could hold a circle this much larger.
CIRCLE_MM = 1e-5
# Both bounds stand no further apart than this, or than the second where a limit lies between them;
# with a nanometre for rounding.
BALL_MM = 0.1
AT_LIMIT_MM = 1e-4
ROUNDING_MM = 1e-6
# Beyond any cell here, so that what lies outside the hole is solid.
FAR = 4000.0


def hole(rng):
    """A convex section: a gap under a raked rail, a triangle on a step, or anything."""
    kind = rng.choice(["gap", "triangle", "any"])
    if kind == "gap":
        wide, tall, climb = rng.uniform(60, 140), rng.uniform(600, 900), rng.uniform(0, 0.9)
        ring = [(0, 0), (wide, 0), (wide, tall + climb * wide), (0, tall)]
    elif kind == "triangle":
        going, rise = rng.uniform(200, 300), rng.uniform(150, 200)
        ring = [(0, 0), (going, 0), (going, rise)]
    else:
        return MultiPoint(rng.uniform(-150, 150, (int(rng.integers(4, 12)), 2))).convex_hull
    return Polygon(ring)


def bars(rng, section):
    """Convex bars that stand in the hole."""
    low_u, low_w, high_u, high_w = section.bounds
    result = []
    for _ in range(int(rng.integers(0, 4))):
        middle = rng.uniform([low_u, low_w], [high_u, high_w])
        corners = middle + rng.uniform(-1, 1, (int(rng.integers(4, 9)), 2)) * rng.uniform(4, 25)
        result.append(MultiPoint(corners).convex_hull)
    return result


def ring_of(polygon):
    """Its corners, anticlockwise, each once."""
    return np.array(shapely.geometry.polygon.orient(polygon).exterior.coords[:-1])


def edges(section):
    """A slab behind every edge of the hole, far longer and thicker than the hole."""
    ring = ring_of(section)
    result = []
    for here, there in zip(ring, np.roll(ring, -1, axis=0)):
        along = (there - here) / np.linalg.norm(there - here)
        out = np.array([along[1], -along[0]])
        near = here - along * FAR, here + along * FAR
        result.append(np.array([near[0], near[1], near[1] + out * FAR, near[0] + out * FAR]))
    return result


def cases(rng):
    """Holes anywhere and any way round."""
    result = []
    while len(result) < COUNT:
        section = hole(rng)
        standing = bars(rng, section)
        if section.minimum_clearance < 1.0:
            continue
        turned, place = rotation(rng, np.pi), rng.uniform(-3000, 3000, 3)
        low_u, low_w, high_u, high_w = section.bounds
        middle = np.array([(low_u + high_u) / 2, 0.0, (low_w + high_w) / 2])
        half = np.array([(high_u - low_u) / 2, rng.uniform(10, 40), (high_w - low_w) / 2])

        def piece(ring):
            near = np.stack([ring[:, 0], np.full(len(ring), -60.0), ring[:, 1]], axis=1)
            sweep = turned @ [0.0, 120.0, 0.0]
            corners = (near - middle) @ turned.T + place
            return {"ring": corners.tolist(), "sweep": sweep.tolist(), "cuts": []}

        rings = edges(section) + [ring_of(bar) for bar in standing]
        exact = diameter(section, standing)
        result.append(
            {
                "pieces": [piece(ring) for ring in rings],
                "turn": turned.tolist(),
                "middle": place.tolist(),
                "half": half.tolist(),
                # Now and then so near that the bounds must close in on it.
                "limit": exact + float(rng.normal() * rng.choice([1e-3, 0.05, 20.0])),
                "section": ring_of(section).tolist(),
                "bars": [ring_of(bar).tolist() for bar in standing],
            }
        )
    return result


def diameter(section, standing):
    """The largest circle in what the bars leave of the hole; zero where they leave nothing."""
    left = shapely.difference(section, shapely.union_all(standing))
    parts = [part for part in getattr(left, "geoms", [left]) if part.area > 0.0]
    circles = [shapely.maximum_inscribed_circle(part, tolerance=CIRCLE_MM) for part in parts]
    return 2 * max((circle.length for circle in circles), default=0.0)


def checks(case, answer):
    """Everything that is compared for one opening."""
    exact = diameter(Polygon(case["section"]), [Polygon(bar) for bar in case["bars"]])
    lower, upper, limit = answer["lower"], answer["upper"], case["limit"]
    tolerance = 2 * CIRCLE_MM + ROUNDING_MM
    yield Check("no larger ball is said to pass (GEOS)", lower, min(lower, exact), tolerance)
    yield Check("a ball this large is not denied (GEOS)", upper, max(upper, exact), tolerance)
    between = lower < limit <= upper
    asked = AT_LIMIT_MM if between else BALL_MM
    wide = upper - lower
    yield Check("the bounds stand close enough", wide, min(wide, asked), ROUNDING_MM)
    if abs(exact - limit) > 2 * AT_LIMIT_MM:
        said = answer["passes"]
        passes = None if said is None else float(said)
        yield Check("whether a ball of the limit passes (GEOS)", passes, float(exact > limit), 0.5)
