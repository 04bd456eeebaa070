"""Convex pieces: cut, apart, overlapping.

- The corners of a prism cut by planes: qhull's intersection of half-spaces (scipy).
- The distance of two pieces: fcl, and non-negative least squares (scipy) over the shares that the
  corners have in the two nearest points.
- The least separating depth: the hull (qhull, scipy) of all differences of corners, which is the
  Minkowski difference; the depth is the origin's distance to its nearest facet.
- Where they are apart, our bound on the gap lies between the facets' and the distance.
- The volume in common: manifold's intersection of two hulls.

Half random pieces, and pairs of the shapes that a stair is made of: leaning balusters in a raked
rail and in a tread out of level, rails mitred to a newel that leans and is twisted, just clear of
it, touching it or in it, and pieces wholly inside others.

The reference never sees our corners: it starts from the prism and the cuts, as we do.
"""

import fcl
import manifold3d
import numpy as np
from scipy.optimize import nnls
from scipy.spatial import ConvexHull, HalfspaceIntersection

from check import Check

COUNT = 100
# Pairs of a stair's own shapes, after the random ones.
OWN = 40
# New seeds of a fresh run: 2100 pairs.
FRESH_SEEDS = 15
# qhull works in f64 and merges facets within about 1e-12 of the size: 1e-6 mm leaves room for
# directions from short edges. It is our own "same point".
LENGTH_MM = 1e-6
# Our search stops at about 5e-8 of the distance (GJK: the square root of ten roundings).
DISTANCE_SHARE = 1e-7
# fcl's stops once a step gains less than 1e-6; along nearly parallel faces that has left it 1.0e-6
# of the distance too long, where least squares and our own two points showed the shorter way.
FCL_SHARE = 3e-6
# Corners some 3000 mm from the origin are rounded at 5e-13 mm; on 1e5 mm^2 of faces and over the
# products of coordinates that is 1e-7 mm^3 and more. A sliver cut off or kept within "same point"
# of a corner adds less than this.
VOLUME_MM3 = 1e-4


def rotation(rng, greatest):
    """A turn by up to an angle about a random axis."""
    axis = rng.normal(size=3)
    x, y, z = axis / np.linalg.norm(axis)
    skew = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    angle = rng.uniform(0, greatest)
    return np.eye(3) + np.sin(angle) * skew + (1 - np.cos(angle)) * skew @ skew


def spec(rng, place):
    """A piece: a ring on an ellipse, a sweep and up to two cuts near its middle."""
    sides = int(rng.integers(3, 9))
    # Half are boxes and posts that lean a little, whose edges are all but parallel.
    plain = rng.random() < 0.5
    if plain:
        sides = 4
    turn = (np.arange(sides) + (0.5 if plain else rng.random())) * 2 * np.pi / sides
    wide, deep, tall = rng.uniform(10, 60), rng.uniform(10, 60), rng.uniform(30, 900)
    ring = np.stack([wide * np.cos(turn), deep * np.sin(turn), np.full(sides, -tall / 2)], axis=1)
    lean = np.zeros(2) if plain else rng.uniform(-40, 40, 2)
    sweep = np.array([*lean, tall])
    greatest = rng.choice([0.0, 1e-6, 0.02, np.pi]) if plain else np.pi
    turned = rotation(rng, greatest)
    centre = np.array([lean[0] / 2, lean[1] / 2, 0.0])
    cuts = [
        {
            "point": list(place + rng.uniform(-0.2, 0.2, 3) * wide),
            "normal": list(rng.normal(size=3)),
        }
        for _ in range(int(rng.integers(0, 3)))
    ]
    return {
        "ring": ((ring - centre) @ turned.T + place).tolist(),
        "sweep": (turned @ sweep).tolist(),
        "cuts": cuts,
    }


def corners(piece):
    """The corners by qhull, or None where little is left: no room found for a 1 mm ball."""
    ring = np.array(piece["ring"])
    whole = np.vstack([ring, ring + piece["sweep"]])
    halves = ConvexHull(whole).equations
    for cut in piece["cuts"]:
        normal = np.array(cut["normal"]) / np.linalg.norm(cut["normal"])
        halves = np.vstack([halves, [*normal, -normal @ cut["point"]]])
    # qhull wants a point inside: the best of some mixtures of the corners.
    mixtures = np.random.default_rng(0).dirichlet(np.full(len(whole), 0.5), 400) @ whole
    slack = -(mixtures @ halves[:, :3].T + halves[:, 3]).max(axis=1)
    if slack.max() < 1.0:
        return None
    middle = mixtures[slack.argmax()]
    # About the middle, so that no digits go to the place.
    shifted = halves.copy()
    shifted[:, 3] += halves[:, :3] @ middle
    points = HalfspaceIntersection(shifted, np.zeros(3)).intersections
    hull = ConvexHull(points)
    return points[hull.vertices] + middle


def cut(point, normal):
    """A plane that keeps what is behind its normal."""
    return {"point": list(point), "normal": list(normal)}


def rail(rng, under):
    """A raked rail with bevelled edges and plumb end cuts, the middle of its underside over `under`;
    and its directions along and square up."""
    pitch, turn = rng.uniform(0.0, 0.8), rng.uniform(0, 2 * np.pi)
    along = np.array([np.cos(pitch) * np.cos(turn), np.cos(pitch) * np.sin(turn), np.sin(pitch)])
    left = np.array([-np.sin(turn), np.cos(turn), 0.0])
    up = np.cross(along, left)
    half, deep, bevel = rng.uniform(20, 40), rng.uniform(40, 80), rng.uniform(3, 10)
    profile = [
        (-half, 0),
        (half, 0),
        (half, deep - bevel),
        (half - bevel, deep),
        (bevel - half, deep),
        (-half, deep - bevel),
    ]
    length = rng.uniform(300, 1200)
    start = under - along * length / 2
    ends = []
    for sign in (-1, 1):
        yaw = turn + rng.uniform(-0.7, 0.7)
        plumb = sign * np.array([np.cos(yaw), np.sin(yaw), 0.0])
        ends.append(cut(under + sign * along * (length / 2 - 60), plumb))
    piece = {
        "ring": [list(start + left * across + up * high) for across, high in profile],
        "sweep": list(along * length),
        "cuts": ends,
    }
    return piece, along, up


def baluster(rng, foot, head, ground, over):
    """A baluster, its section level and its axis leaning, cut by the planes at foot and head."""
    axis = (head - foot) / np.linalg.norm(head - foot)
    turn = rng.uniform(0, np.pi / 2)
    half = rng.uniform(8, 25)
    corner = np.arange(4) * np.pi / 2 + turn
    ring = half * np.stack([np.cos(corner), np.sin(corner), np.zeros(4)], axis=1)
    return {
        "ring": (ring + foot - axis * 90).tolist(),
        "sweep": list(axis * (np.linalg.norm(head - foot) + 180)),
        "cuts": [cut(foot, ground), cut(head, over)],
    }


def leaning(rng):
    """From a head to its foot."""
    return np.array([*rng.uniform(-30, 30, 2), -rng.uniform(600, 950)])


def baluster_in_rail(rng, place):
    """Its head as deep in the rail as a seat, square to the rake; or just clear of it."""
    bar, _, up = rail(rng, place)
    head = place + up * rng.choice([rng.uniform(-2, 25), 0.0])
    tilt = [*rng.uniform(-0.02, 0.02, 2), -1.0]
    return bar, baluster(rng, head + leaning(rng), head, tilt, up)


def baluster_in_tread(rng, place):
    """Its foot on, in or just over a tread that is out of level."""
    turned = rotation(rng, 0.03)
    size = np.array([rng.uniform(120, 150), rng.uniform(300, 500), 25.4])
    flat = np.array([[-1, -1, -1], [1, -1, -1], [1, 1, -1], [-1, 1, -1]]) * size / 2
    top = turned @ np.array([0, 0, size[2] / 2])
    slab = {
        "ring": (flat @ turned.T + place).tolist(),
        "sweep": list(turned @ np.array([0, 0, size[2]])),
        "cuts": [],
    }
    down = -turned @ np.array([0, 0, 1.0])
    foot = place + top + down * rng.choice([rng.uniform(-2, 20), 0.0])
    head = foot - leaning(rng)
    return slab, baluster(rng, foot, head, down, [0.6, 0.0, 0.8])


def rail_at_newel(rng, place):
    """A rail whose end is cut to the face of a newel that leans and is twisted: short of it, against
    it, or in it."""
    bar, along, _ = rail(rng, place)
    turned = rotation(rng, 0.03)
    twist = rng.uniform(-0.5, 0.5)
    level = np.array([along[0], along[1], 0.0])
    level /= np.linalg.norm(level)
    spin = np.array(
        [[np.cos(twist), -np.sin(twist), 0], [np.sin(twist), np.cos(twist), 0], [0, 0, 1]]
    )
    face = turned @ spin @ level
    across, axis = turned @ spin @ np.array([-level[1], level[0], 0]), turned @ [0, 0, 1]
    half = rng.uniform(35, 60)
    met = place + along * 100
    foot = met + face * half - axis * rng.uniform(300, 900)
    ring = [foot + (face * i + across * j) * half for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    newel = {"ring": [list(p) for p in ring], "sweep": list(axis * 1200), "cuts": []}
    gap = rng.choice([rng.uniform(-3, 3), 0.0])
    bar["cuts"][1] = cut(met - face * gap, face)
    return bar, newel


def inside(rng, place):
    """A piece, and its like made smaller inside it."""
    a = spec(rng, place)
    a["cuts"] = []
    ring, sweep = np.array(a["ring"]), np.array(a["sweep"])
    middle = ring.mean(axis=0) + sweep / 2
    share = rng.uniform(0.2, 0.9)
    b = {
        "ring": (middle + (ring - middle) * share).tolist(),
        "sweep": (sweep * share).tolist(),
        "cuts": [],
    }
    return a, b


def cases(rng):
    """Pairs of pieces, from well apart to deep in each other."""
    result = []
    while len(result) < COUNT:
        place = rng.uniform(-3000, 3000, 3)
        apart = rng.choice([20.0, 80.0, 300.0])
        a, b = spec(rng, place), spec(rng, place + rng.uniform(-apart, apart, 3))
        if rng.random() < 0.1:
            # Face to face, as most parts of a stair are.
            b = dict(a, ring=(np.array(a["ring"]) + a["sweep"]).tolist(), cuts=b["cuts"])
        if corners(a) is not None and corners(b) is not None:
            result.append({"a": a, "b": b})
    while len(result) < COUNT + OWN:
        place = rng.uniform(-3000, 3000, 3)
        kind = (baluster_in_rail, baluster_in_tread, rail_at_newel, inside)[len(result) % 4]
        a, b = kind(rng, place)
        if corners(a) is not None and corners(b) is not None:
            result.append({"a": a, "b": b})
    return result


def fcl_convex(points):
    """The hull as fcl wants it: outward triangles."""
    hull = ConvexHull(points)
    faces = []
    for triangle, equation in zip(hull.simplices, hull.equations):
        p, q, r = points[triangle]
        outward = np.cross(q - p, r - p) @ equation[:3] > 0
        faces += [3, *(triangle if outward else triangle[::-1])]
    return fcl.CollisionObject(fcl.Convex(points, len(hull.simplices), np.array(faces)))


def least_squares_distance(a, b):
    """|sum l a - sum m b| least, with shares l and m that are not negative and sum to one."""
    heavy = 1e5
    ones_a = np.hstack([np.ones(len(a)), np.zeros(len(b))])
    system = np.vstack([np.hstack([a.T, -b.T]), heavy * ones_a, heavy * (1 - ones_a)])
    shares, _ = nnls(system, np.array([0, 0, 0, heavy, heavy]))
    on_a, on_b = shares[: len(a)], shares[len(a) :]
    return float(np.linalg.norm(on_a @ a / on_a.sum() - on_b @ b / on_b.sum()))


def fcl_distance(a, b):
    """Zero where they overlap, for which fcl answers -1."""
    return max(0.0, fcl.distance(fcl_convex(a), fcl_convex(b), fcl.DistanceRequest()))


def depth(a, b):
    """By the Minkowski difference; negative where they are apart, and then no more than a bound:
    no facet says the distance of two corners."""
    differences = (a[:, None, :] - b[None, :, :]).reshape(-1, 3)
    return float(-ConvexHull(differences).equations[:, 3].max())


def common(a, b):
    """By manifold."""
    first, second = (manifold3d.Manifold.hull_points(points) for points in (a, b))
    return (first ^ second).volume()


def checks(case, answer):
    """Everything that is compared for one pair."""
    a, b = corners(case["a"]), corners(case["b"])
    # Small coordinates for the references: they must not lose digits to the place either.
    middle = (a.mean(axis=0) + b.mean(axis=0)) / 2
    a, b = a - middle, b - middle
    for piece, name in ((a, "volume_a"), (b, "volume_b")):
        volume = ConvexHull(piece).volume
        yield Check("volume of a cut piece (qhull)", answer[name], volume, VOLUME_MM3)
    far = least_squares_distance(a, b)
    tolerance = LENGTH_MM + DISTANCE_SHARE * far
    yield Check("distance (least squares)", answer["distance"], far, tolerance)
    tolerance = LENGTH_MM + FCL_SHARE * far
    yield Check("distance (fcl)", answer["distance"], fcl_distance(a, b), tolerance)
    deep = depth(a, b)
    if deep > 0.0:
        yield Check("least separating depth (qhull)", answer["depth"], deep, LENGTH_MM)
    else:
        bounded = min(max(answer["depth"], -far), deep)
        yield Check("gap bound (under the distance)", answer["depth"], bounded, LENGTH_MM)
    both = common(a, b)
    yield Check("volume in common (manifold)", answer["common"], both, VOLUME_MM3)
