"""The largest ball through an opening. In a planar one: GEOS (shapely) and linear programmes (HiGHS,
scipy). Between leaning, twisted and turned posts: percolation on a grid of 1 mm voxels (scipy).

An opening whose bounds all run square through it lets a ball pass as wide as the largest circle in
its section. The section is a convex hole, as between balusters, tread and rail or under a bottom
rail, with up to three bars left standing in it. Lengths are millimetres.

GEOS's largest inscribed circle alone will not do: its search is cut short after a count of steps,
and between parallel sides it has stopped 0.04 mm under the width between them (balls 20260101, case
20). So its circle, and the best of a grid, are grown until they are stuck: the distance to each side
is convex, so its tangent plane bounds it from below, and a linear programme over those planes, with
steps that stay inside the circle, gives a larger circle for certain.

Between posts the grid knows no geometry: every voxel is solid where its middle lies in a piece; the
distance of each from the nearest solid one is scipy's exact Euclidean transform, less half a voxel,
by which a solid voxel's middle lies behind the face on average; and the ball is the greatest for
which voxels at least so clear still join the cell's source face to its sink face. It agrees within
a voxel's diagonal.
"""

import numpy as np
import shapely
from scipy import ndimage
from scipy.optimize import linprog
from scipy.spatial import ConvexHull
from shapely.geometry import MultiPoint, Polygon

from check import Check
from pieces import rotation

COUNT = 30
# A circle counts as stuck when a step makes it grow by less than this.
CIRCLE_MM = 1e-7
GEOS_MM = 1e-3
STARTS = 3
GRID = 60
# Both bounds stand no further apart than this, or than the second where a limit lies between them;
# with a nanometre for rounding.
BALL_MM = 0.1
AT_LIMIT_MM = 1e-4
ROUNDING_MM = 1e-6
# Beyond any cell here, so that what lies outside the hole is solid.
FAR = 4000.0


# Openings between posts, for each seed: each takes a few seconds.
POSTS = 2
VOXEL_MM = 1.0
# How far the grid reaches past the cell: into both posts, past their faces, and so far up and down
# that the nearest of a post is in it, however it leans or thickens.
PADS = (10, 4, 40)
DIAGONAL_MM = 3**0.5 * VOXEL_MM


def stack(rng, foot, head, thick, profile):
    """A post from foot to head in one piece, or turned: one prism for each length of its profile."""
    sides = int(rng.choice([4, 8, 12]))
    turn = rng.uniform(0, np.pi) + (np.arange(sides) + 0.5) * 2 * np.pi / sides
    circle = np.stack([np.cos(turn), np.sin(turn), np.zeros(sides)], axis=1)
    result, way = [], head - foot
    for start, end, share in profile:
        radius = thick * share / 2 / np.cos(np.pi / sides)
        ring = foot + way * start + circle * radius
        result.append({"ring": ring.tolist(), "sweep": (way * (end - start)).tolist(), "cuts": []})
    return result


PLAIN = [(0.0, 1.0, 1.0)]
TURNED = [(0.0, 0.42, 1.0), (0.42, 0.5, 0.55), (0.5, 0.57, 0.8), (0.57, 1.0, 1.0)]


def posts(rng):
    """Two posts that lean and stand twisted, plain or turned, and the cell between their axes."""
    gap = rng.uniform(60, 105)
    thick = np.array([rng.uniform(28, 36), rng.choice([rng.uniform(28, 36), 89.0])])
    middle = (gap + thick.mean()) / 2
    pieces = []
    for side, size in zip((-1, 1), thick):
        lean = np.array([*rng.uniform(-22, 22, 2), 200.0])
        at = np.array([side * middle, 0.0, 0.0])
        profile = TURNED if size < 40 and rng.random() < 0.5 else PLAIN
        pieces += stack(rng, at - lean, at + lean, size, profile)
    half = [float(round(middle)), 40.0, 30.0]
    place = {"turn": np.eye(3).tolist(), "middle": [0.0, 0.0, 0.0], "half": half}
    return {"pieces": pieces, "limit": 101.6, "voxels": True, **place}


def is_solid(pieces, axes):
    """Which voxels of a grid have their middle in a piece."""
    grid = np.meshgrid(*axes, indexing="ij", sparse=True)
    solid = np.zeros([len(axis) for axis in axes], dtype=bool)
    for piece in pieces:
        ring = np.array(piece["ring"])
        corners = np.vstack([ring, ring + piece["sweep"]])
        spans = [
            slice(*np.searchsorted(axis, [low, high]))
            for axis, low, high in zip(axes, corners.min(axis=0), corners.max(axis=0))
        ]
        inside = np.ones([span.stop - span.start for span in spans], dtype=bool)
        part = [np.take(at, range(span.start, span.stop), axis) for axis, (at, span) in enumerate(zip(grid, spans))]
        for a, b, c, d in ConvexHull(corners).equations:
            inside &= a * part[0] + b * part[1] + c * part[2] + d <= 0.0
        solid[tuple(spans)] |= inside
    return solid


def joins(clear, radius):
    """Whether voxels so clear join the source face to the sink face."""
    named, _ = ndimage.label(clear >= radius)
    source, sink = np.unique(named[:, 0, :]), np.unique(named[:, -1, :])
    return bool(np.intersect1d(source[source > 0], sink[sink > 0]).size)


def percolation(case):
    """The diameter at which source and sink come apart."""
    counts = [int(round(2 * half / VOXEL_MM)) for half in case["half"]]
    axes = [
        (np.arange(-pad, count + pad) + 0.5) * VOXEL_MM - half
        for count, half, pad in zip(counts, case["half"], PADS)
    ]
    far = ndimage.distance_transform_edt(~is_solid(case["pieces"], axes)) * VOXEL_MM
    cell = tuple(slice(pad, pad + count) for count, pad in zip(counts, PADS))
    clear = far[cell] - VOXEL_MM / 2
    low, high = 0.0, float(clear.max())
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if joins(clear, middle) else (low, middle)
    return low + high


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
                "exact": exact,
            }
        )
    return result + [posts(rng) for _ in range(POSTS)]


class Sides:
    """The sides of an opening's section, as segments."""

    def __init__(self, left):
        rings = [left.exterior, *left.interiors]
        corners = [np.array(ring.coords) for ring in rings]
        self.start = np.vstack([ring[:-1] for ring in corners])
        self.along = np.vstack([np.diff(ring, axis=0) for ring in corners])
        self.squared = (self.along**2).sum(axis=1)

    def away(self, place):
        """The way from the nearest point of every side to a place."""
        from_start = place - self.start
        share = np.clip((from_start * self.along).sum(axis=1) / self.squared, 0, 1)
        return from_start - share[:, None] * self.along


def grown(sides, place):
    """The radius of the circle grown from a place until it is stuck."""
    radius = np.linalg.norm(sides.away(place), axis=1).min()
    while radius > CIRCLE_MM:
        away = sides.away(place)
        far = np.linalg.norm(away, axis=1)
        # Largest r with far + tangent . step >= r on every side; half a radius never leaves the
        # circle, whichever way it goes.
        rows = np.hstack([-away / far[:, None], np.ones((len(far), 1))])
        reach = radius / 2
        found = linprog(
            [0, 0, -1],
            A_ub=rows,
            b_ub=far,
            bounds=[(-reach, reach)] * 2 + [(None, None)],
            method="highs",
        )
        if found.status != 0:
            raise RuntimeError(f"HiGHS: {found.message}")
        place = place + found.x[:2]
        larger = np.linalg.norm(sides.away(place), axis=1).min()
        if larger < radius + CIRCLE_MM:
            return max(radius, larger)
        radius = larger
    return radius


def starts(left):
    """GEOS's middle, and the best of a grid that stand apart."""
    circle = shapely.maximum_inscribed_circle(left, tolerance=GEOS_MM)
    result = [np.array(circle.coords[0])]
    low_u, low_w, high_u, high_w = left.bounds
    u, w = np.meshgrid(np.linspace(low_u, high_u, GRID), np.linspace(low_w, high_w, GRID))
    places = np.stack([u.ravel(), w.ravel()], axis=1)
    points = shapely.points(places)
    clear = np.where(shapely.contains(left, points), shapely.distance(left.boundary, points), 0.0)
    for index in np.argsort(-clear):
        apart = min(np.linalg.norm(places[index] - other) for other in result)
        if clear[index] > 0.0 and apart > clear[index] / 2:
            result.append(places[index])
        if len(result) > STARTS:
            break
    return result


def diameter(section, standing):
    """The largest circle in what the bars leave of the hole; zero where they leave nothing."""
    left = shapely.difference(section, shapely.union_all(standing))
    parts = [part for part in getattr(left, "geoms", [left]) if part.area > 0.0]
    radii = [grown(Sides(part), place) for part in parts for place in starts(part)]
    return 2 * float(max(radii, default=0.0))


def checks(case, answer):
    """Everything that is compared for one opening."""
    limit = case["limit"]
    lower, upper = answer["lower"], answer["upper"]
    if "voxels" in case:
        between = lower < limit <= upper
        yield Check("the bounds stand close enough", upper - lower, 0.0, AT_LIMIT_MM if between else BALL_MM)
        middle = (lower + upper) / 2
        yield Check("between posts (percolation, scipy)", middle, percolation(case), DIAGONAL_MM)
        return
    exact = case["exact"]
    yield Check("no larger ball is said to pass", lower, min(lower, exact), ROUNDING_MM)
    yield Check("a ball this large is not denied", upper, max(upper, exact), ROUNDING_MM)
    between = lower < limit <= upper
    asked = AT_LIMIT_MM if between else BALL_MM
    wide = upper - lower
    yield Check("the bounds stand close enough", wide, min(wide, asked), ROUNDING_MM)
    if abs(exact - limit) > 2 * AT_LIMIT_MM:
        said = answer["passes"]
        passes = None if said is None else float(said)
        yield Check("whether a ball of the limit passes", passes, float(exact > limit), 0.5)
