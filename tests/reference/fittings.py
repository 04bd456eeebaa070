"""Parts received: balusters put to places, and newels out of square, worked again from geometry.

- Each baluster at each place: its foot shifted against its hole, turned by quarter turns (complex
  numbers), the gaps, reveal, lean and seat that follow.
- Which goes where: scipy's `linear_sum_assignment` on the same costs. An assignment need not be
  unique, so the places filled, the pieces past a limit and the sum are compared.
- Newels: a section drawn at random, measured by its sides and diagonals; turned, leaned and twisted
  by GEOS (shapely) at both heights; its bounds give the change of the gap.

Lengths are millimetres.
"""

import numpy as np
from scipy.optimize import linear_sum_assignment
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon

from check import Check

COUNT = 16
LENGTH_MM = 1e-6
# Costs are whole micrometres there.
SUM_MM = 0.05
TWIST_LENGTH_MM = 1e-5
LIMITS = ("gap", "over", "reveal", "lean", "seat")
IMPOSSIBLE, PAST = 1e10, 1e6


def quadrilateral(rng, size):
    """A square's corners each moved a little: downhill right, uphill right, uphill left, downhill left."""
    half = size / 2
    square = np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    return square + rng.normal(0, 1.2, (4, 2))


def measured(corners):
    """Its six readings."""
    side = lambda a, b: float(np.linalg.norm(corners[a] - corners[b]))  # noqa: E731
    return {
        "right": side(0, 1), "uphill": side(1, 2), "left": side(2, 3), "downhill": side(3, 0),
        "from_downhill_right": side(0, 2), "from_uphill_right": side(1, 3),
    }


def baluster(rng, mark, length):
    made = {"mark": mark}
    if rng.random() < 0.6:
        made["length"] = length - float(rng.choice([-30, 0, 3, 8, 13, 60], p=[0.3, 0.2, 0.2, 0.1, 0.1, 0.1]))
    for what in ("hole", "bow"):
        if rng.random() < 0.5:
            made[what] = {"uphill": float(rng.normal(0, 1.5)), "outward": float(rng.normal(0, 1.5))}
    if rng.random() < 0.3:
        made["size"] = 32 + float(rng.normal(0, 1.0))
    return made


def one_case(rng):
    count = int(rng.integers(4, 9))
    rise, going = float(rng.uniform(165, 195)), float(rng.uniform(240, 280))
    size = 89.0
    newels, received = [], []
    for name, step, displaced in (("N1", 1, 1), ("N2", count - 1, 0)):
        twist = float(rng.normal(0, 2)) if rng.random() < 0.5 else 0.0
        newels.append({
            "name": name, "section": {"Square": size}, "height": 1250, "twist": f"{twist} deg",
            "stands": {"Displaces": {"step": step, "balusters": displaced}},
        })
        corners = quadrilateral(rng, size)
        wind = float(rng.normal(0, 1.5))
        received.append({
            "name": name, "length": 1250 + float(rng.choice([-5.0, 0.0, 4.0])), "section": measured(corners),
            "twist": f"{wind} deg",
            "foot": {"uphill": float(rng.normal(0, 0.3)), "outward": float(rng.normal(0, 0.3))},
            "corners": corners.tolist(), "wind": wind, "set_twist": twist,
        })
    places = 2 * (count - 1) - 1
    pieces = max(1, places + int(rng.integers(-3, 5)))
    long = float(rng.uniform(850, 1000))
    edges = [
        {"Edge": {"step": step, "is": 57 + float(rng.normal(0, 4)), "sd": 1e-5}} for step in range(1, count)
    ]
    goings = [
        {"Going": {"step": step, "is": going + float(rng.normal(0, 4)), "sd": 1e-5}} for step in range(1, count)
    ]
    job = {
        "format": 1, "units": "Millimetres",
        "flight": {
            "open_side": str(rng.choice(["Left", "Right"])), "count": count, "rise": rise,
            "going": going, "width": 960, "overhang": 25, "tread_thickness": 27, "kick_thickness": 19,
            "edge": 57, "readings": edges + goings,
        },
        "received": {
            "limits": {"gap": float(rng.uniform(1, 4)), "reveal": float(rng.uniform(1, 4)), "lean": float(rng.uniform(1, 4)),
                       "seat": float(rng.uniform(1, 9)), "cap": 3.0, "height": 6.0},
            "newels": [
                {key: one[key] for key in ("name", "length", "section", "twist", "foot")} for one in received
            ],
            "balusters": [baluster(rng, f"a{k}", long) for k in range(pieces)],
        },
        "design": {
            "rules": "none", "newels": newels, "reveal": 41 if rng.random() < 0.5 else None,
            "rail": {"name": "R1", "width": 57, "depth": 60, "height": 910,
                     "lower": {"Newel": "N1"}, "upper": {"Newel": "N2"}},
            "balusters": {"section": {"Square": 32}, "spacing": {"PerTread": {"count": 2}},
                          "peg": 19, "peg_diameter": 16, "edge_distance": 5, "seat": 12},
        },
    }
    gap_under = None if rng.random() < 0.3 else (going - 64) / 2 + float(rng.uniform(-3, 6))
    truth = [{key: one[key] for key in ("corners", "wind", "set_twist", "length", "foot")} for one in received]
    return {"job": job, "gap_under": gap_under, "newels": truth}


def cases(rng):
    """Flights of four to eight kicks, with a few balusters too many or too few."""
    return [one_case(rng) for _ in range(COUNT)]


def effects(piece, place, quarter, gap_under):
    """What a piece does at a place, turned so; None where it is too short."""
    seat = max(0.0, place["length"] - piece["length"]) if piece.get("length") is not None else 0.0
    if seat > place["seat"] + 1e-6:
        return None
    left = place["outward"]
    plane = lambda off: complex(off["uphill"], left * off["outward"]) if off else 0j  # noqa: E731
    turn = 1j**quarter
    foot = -plane(piece.get("hole")) * turn
    bow = plane(piece.get("bow")) * turn
    grown = (piece["size"] - place["size"]) / 2 if piece.get("size") is not None else 0.0
    # Below it a move up the flight widens the gap, above it narrows it.
    moves = [foot.real, foot.real / 2 + bow.real]
    changes = [[sign * move - grown for move in moves] for sign in (1, -1)]
    over = 0.0
    if gap_under is not None:
        for clear, both in zip(place["gaps"], changes, strict=True):
            before = max(0.0, clear - gap_under)
            over = max(over, max(0.0, clear + max(both) - gap_under) - before)
    outward = foot.imag * left
    reveal = 0.0
    if place["reveal"] is not None:
        shows, wanted = place["reveal"]
        reveal = max(0.0, abs(shows - outward - grown - wanted) - abs(shows - wanted))
    head = complex(-foot.real, place["lean"] - outward)
    return {
        "gap": max(abs(change) for both in changes for change in both), "over": over, "reveal": reveal,
        "lean": max(0.0, abs(head) - abs(place["lean"])), "seat": seat,
    }


def total(one):
    return one["gap"] + 10 * one["over"] + one["reveal"] + one["lean"] + one["seat"]


def within(one, limits):
    return all(one[name] <= (0.0 if name == "over" else limits[name]) + 1e-6 for name in LIMITS)


def best(piece, place, limits, gap_under):
    found = [effects(piece, place, quarter, gap_under) for quarter in range(4)]
    found = [one for one in found if one is not None]
    return min(found, key=lambda one: (not within(one, limits), total(one)), default=None)


def checks(case, answer):
    """Everything that is compared for one flight."""
    received = case["job"]["received"]
    limits, pieces, places = received["limits"], received["balusters"], answer["places"]
    fits = [[best(piece, place, limits, case["gap_under"]) for piece in pieces] for place in places]
    costs = np.array([
        [IMPOSSIBLE if one is None else round(total(one), 3) + (0.0 if within(one, limits) else PAST) for one in row]
        for row in fits
    ])
    rows, columns = linear_sum_assignment(costs)
    taken = [(r, c) for r, c in zip(rows, columns, strict=True) if fits[r][c] is not None]
    past = sum(not within(fits[r][c], limits) for r, c in taken)
    least = sum(total(fits[r][c]) for r, c in taken)
    names = [place["name"] for place in places]
    ours = [(names.index(one["place"]), number, one) for number, one in enumerate(answer["balusters"]) if one["place"]]
    yield Check("balusters: each at a place of its own", len({r for r, _, _ in ours}), len(ours), 0.5)
    yield Check("balusters: places filled (scipy)", len(ours), len(taken), 0.5)
    yield Check("balusters: empty places", len(answer["unfilled"]), len(places) - len(ours), 0.5)
    ours_past = 0
    for r, c, one in ours:
        found = effects(pieces[c], places[r], one["quarter_turns"], case["gap_under"])
        for name in LIMITS:
            yield Check(f"balusters: {name} at its place", one[name], found[name], LENGTH_MM)
        yield Check("balusters: turned as it does least", one["total"], total(fits[r][c]), LENGTH_MM)
        ours_past += not within(found, limits)
    yield Check("balusters: past a limit (scipy)", ours_past, past, 0.5)
    yield Check("balusters: least disturbance (scipy)", answer["disturbance"], least, SUM_MM)
    for truth, told in zip(case["newels"], answer["newels"], strict=True):
        yield from newel_checks(truth, told, answer["outward"])


def newel_checks(truth, told, outward):
    corners = np.array(truth["corners"])
    corners -= corners.mean(axis=0)
    # Its side faces run up the flight as nearly as they can.
    up = (corners[1] - corners[0]) + (corners[2] - corners[3])
    foot = rotate(Polygon(corners), -np.degrees(np.arctan2(up[1], up[0])), origin=(0, 0))
    designed = rotate(Polygon([(-44.5, -44.5), (44.5, -44.5), (44.5, 44.5), (-44.5, 44.5)]), truth["set_twist"], origin=(0, 0))
    length, hang = truth["length"], truth["foot"]
    # Cut to its height, its foot is cut square where that takes all of it.
    trim = max(0.0, length - 1250)
    cut_square = trim >= max(abs(hang["uphill"]), abs(hang["outward"]))
    lean = np.zeros(2) if cut_square else np.array([hang["uphill"], outward * hang["outward"]]) / 89.0 * length
    yield Check("newels: cap", told["cap"], length - trim - 1250, LENGTH_MM)
    for quarter, effects_told in ((0, told["as_marked"]), (told["quarter_turns"], told["turned"])):
        for where, height in (("gap_at_foot", told["foot"]), ("gap_at_rail", told["rail"])):
            turned = rotate(foot, 90 * quarter + truth["set_twist"] + truth["wind"] * height / length, origin=(0, 0))
            shift = rotate(Polygon([lean, lean + [1e-9, 0], lean + [0, 1e-9]]), 90 * quarter, origin=(0, 0))
            moved = np.array(shift.exterior.coords[0]) * height / length
            turned = translate(turned, *moved)
            reach = turned.bounds[2] - designed.bounds[2] if told["at_foot"] else designed.bounds[0] - turned.bounds[0]
            yield Check(f"newels: {where} (shapely)", effects_told[where], -reach, TWIST_LENGTH_MM)
