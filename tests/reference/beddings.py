"""Bedding: treads and kicks on stringers cut roughly, worked again from the geometry.

Random flights with rough readings on their stringers are bedded by our side. Here the programme is
stated anew in heights, slopes and places (mm, mm per mm) and solved by HiGHS through scipy's
`linprog`. An optimum need not be unique, so the cost reached is compared, and what is told is held
against the limits, never which bedding was taken.

- cuts: differences between cuts of one stringer, as read;
- treads and kicks: what is between board and cut is the plane less the cut; limits are kept; the cost
  is least;
- where nothing keeps the limits: the least that each limit has to give, by itself.
"""

import numpy as np
from scipy.optimize import linprog

from check import Check

COUNT = 24
# The simplex keeps a row to 1e-5 mm or so, and each of the two tie-breaks may give up 1e-7 of the
# cost. A limit that gives way does so by 4e-5 mm more than it must; the cost follows it many times.
LENGTH_MM = 1e-4
COST_MM = 1e-3
THICKNESS, KICK, OVERHANG = 27.0, 19.0, 25.0


def reading(kind, stringer, **fields):
    return {kind: {**fields, "on": "Rough", "side": {"Stringer": stringer}}}


def one_case(rng):
    count = int(rng.integers(3, 9))
    rise, going = float(rng.uniform(165, 195)), float(rng.uniform(240, 290))
    width, edge = float(rng.uniform(800, 1100)), float(rng.uniform(30, 70))
    floor = 19.0
    number = int(rng.integers(2, 5))
    insets = np.linspace(-edge + 5, width - edge - 45, number) + rng.uniform(-4, 4, number)
    stringers = [
        {"name": f"S{k + 1}", "inset": float(inset), "thickness": 38, "throat": 120}
        for k, inset in enumerate(insets)
    ]
    rough = rng.choice([0.7, 2.5, 7.0])
    high = rng.choice([0.0, 25.0], p=[0.7, 0.3])
    falls = rng.random() < 0.4
    readings = [{"TotalRise": {"is": count * rise}}]
    read = []
    for one in stringers:
        heights = rise * np.arange(1, count) - THICKNESS
        heights = heights + rng.normal(0, rough, count - 1)
        heights[-1] += high
        rises = np.diff(heights, prepend=-floor)
        places = KICK + going * np.arange(count) + rng.normal(0, rough, count)
        goings = np.diff(places)
        name = one["name"]
        readings += [reading("Rise", name, step=k + 1, **{"is": float(r)}) for k, r in enumerate(rises)]
        readings += [reading("Going", name, step=k + 1, **{"is": float(g)}) for k, g in enumerate(goings)]
        fall = np.zeros(count - 1)
        if falls:
            fall = rng.normal(0, 1.5, count - 1)
            readings += [
                reading("Fall", name, step=k + 1, low="Back" if f > 0 else "Front", **{"is": abs(float(f))})
                for k, f in enumerate(fall)
            ]
        read.append({"rises": rises.tolist(), "goings": goings.tolist(), "falls": fall.tolist()})
    neighbours = None if rng.random() < 0.6 else float(rng.uniform(2, 6))
    limits = {
        "rise_range": None if rng.random() < 0.2 else float(rng.choice([10.0, 9.525, 4.0])),
        "rise_neighbours": neighbours,
        "rise_most": None if rng.random() < 0.6 else rise + float(rng.uniform(1, 8)),
        "going_range": None if rng.random() < 0.2 else float(rng.choice([10.0, 9.525, 4.0])),
        "going_neighbours": neighbours,
        "going_least": None if rng.random() < 0.6 else going - float(rng.uniform(1, 8)),
        "slope": None if rng.random() < 0.2 else float(rng.choice([1 / 48, 1 / 150, 1 / 600])),
    }
    bedding = {
        "light": 1.6, "normal": 3.2, "heavy": 6.4,
        "relieve_most": float(rng.choice([0.0, 1.5, 3.2])),
        "relieve_cost": float(rng.choice([0.8, 2.0, 4.0])),
        "level_cost": float(rng.choice([0.0, 0.3, 2.0])),
        "neighbours": neighbours,
    }
    job = {
        "format": 1, "units": "Millimetres",
        "flight": {
            "open_side": str(rng.choice(["Left", "Right"])), "count": count, "rise": rise,
            "going": going, "width": width, "overhang": OVERHANG, "tread_thickness": THICKNESS,
            "kick_thickness": KICK, "edge": edge, "floor_below": floor, "floor_above": floor,
            "readings": readings,
        },
        "stringers": stringers, "bedding": bedding,
        "design": {
            "rules": "us-residential-2021",
            "rail": {"name": "R1", "width": 57, "depth": 60, "height": 910,
                     "lower": {"Newel": "N1"}, "upper": {"Newel": "N2"}},
            "balusters": {"section": {"Square": 32}, "spacing": {"PerTread": {"count": 2}},
                          "peg": 19, "peg_diameter": 16, "edge_distance": 19},
        },
    }
    return {"job": job, "limits": limits, "read": read, "falls": bool(falls)}


def cases(rng):
    """Flights of three to eight kicks on two to four stringers."""
    return [one_case(rng) for _ in range(COUNT)]


class Programme:
    """Boards over points: columns are added as they come, rows as `(terms, most)`."""

    def __init__(self):
        self.costs, self.bounds, self.rows, self.equal = [], [], [], []

    def column(self, cost=0.0, low=None, high=None):
        self.costs.append(cost)
        self.bounds.append((low, high))
        return len(self.costs) - 1

    def at_most(self, terms, most):
        self.rows.append((terms, most))

    def is_(self, terms, value):
        self.equal.append((terms, value))

    def matrix(self, rows):
        if not rows:
            return None, None
        full = np.zeros((len(rows), len(self.costs)))
        for number, (terms, _) in enumerate(rows):
            for column, factor in terms:
                full[number, column] += factor
        return full, np.array([value for _, value in rows])

    def solve(self):
        a, b = self.matrix(self.rows)
        e, f = self.matrix(self.equal)
        found = linprog(self.costs, a, b, e, f, bounds=self.bounds, method="highs")
        if found.status == 2:
            return None
        if found.status != 0:
            raise RuntimeError(f"HiGHS: {found.message}")
        return found.fun


def programme(boards, half, ends, limits, prices, give=None):
    """The least cost; or with `give` named (or "all"), the least that it has to give.

    `boards`: for each a list of points (q off the middle, x off the middle, seat, weight), its bearing
    depth or None, and the x of its stepping edge. `ends`: heights stepped from and to, by end, or
    None. `limits`: range, neighbours, most, least, slope, relieve.
    """
    relieve_cost, level_cost = prices
    it = Programme()
    e = it.column(1.0, 0.0) if give else None
    cost = 0.0 if give else 1.0
    wide = lambda name: [(e, -1.0)] if give in (name, "all") else []  # noqa: E731
    planes = []
    for points, depth, _ in boards:
        # Height at the middle, off the mean seat; rise over half the width; over half the depth.
        base = float(np.mean([seat for _, _, seat, _ in points]))
        tilts = [it.column()] + ([it.column()] if depth else [])
        planes.append((base, it.column(), tilts, depth))
        for tilt in tilts:
            size = it.column(cost * 2 * level_cost, 0.0)
            it.at_most([(tilt, 1.0), (size, -1.0)], 0.0)
            it.at_most([(tilt, -1.0), (size, -1.0)], 0.0)

    def face(plane, q, x):
        _, level, tilts, depth = plane
        terms = [(level, 1.0), (tilts[0], q / half)]
        return terms + ([(tilts[1], x / (depth / 2))] if depth else [])

    for plane, (points, depth, _) in zip(planes, boards, strict=True):
        for q, x, seat, weight in points:
            fill = it.column(cost * weight, 0.0)
            relieve = it.column(cost * weight * relieve_cost, 0.0)
            it.is_(face(plane, q, x) + [(fill, -1.0), (relieve, 1.0)], seat - plane[0])
            it.at_most([(relieve, 1.0), *wide("relieve")], limits["relieve"])
        if limits["slope"] is not None:
            for angle in np.pi / 8 * (2 * np.arange(8) + 1):
                terms = [(plane[2][0], np.cos(angle))]
                if depth:
                    terms.append((plane[2][1], np.sin(angle) * half / (depth / 2)))
                room = np.cos(np.pi / 8)
                terms += [(column, factor * room) for column, factor in wide("slope")]
                it.at_most(terms, limits["slope"] * half * room)
    for end, q in enumerate((-half, half)):
        edges = [(face(plane, q, x), plane[0]) for plane, (_, _, x) in zip(planes, boards, strict=True)]
        if ends:
            edges = [([], ends[0][end]), *edges, ([], ends[1][end])]
        steps = [
            (upper + [(c, -f) for c, f in lower], high - low)
            for (lower, low), (upper, high) in zip(edges, edges[1:])
        ]
        minus = lambda terms: [(c, -f) for c, f in terms]  # noqa: E731
        for one, (terms, at) in enumerate(steps):
            if limits["most"] is not None:
                it.at_most(terms + wide("most"), limits["most"] - at)
            if limits["least"] is not None:
                it.at_most(minus(terms) + wide("least"), at - limits["least"])
            for other, (its, its_at) in enumerate(steps):
                apart = terms + minus(its)
                if limits["range"] is not None and one != other:
                    it.at_most(apart + wide("range"), limits["range"] - at + its_at)
                if limits["neighbours"] is not None and abs(one - other) == 1:
                    it.at_most(apart + wide("neighbours"), limits["neighbours"] - at + its_at)
    return it.solve()


NAMES = {
    "RiseRange": "range", "GoingRange": "range", "RiseNeighbours": "neighbours",
    "GoingNeighbours": "neighbours", "RiseMost": "most", "GoingLeast": "least", "Slope": "slope",
    "Relieve": "relieve", "All": "all",
}


def widened(limits, name, by):
    """Limits with one of them (or all) giving way."""
    result = dict(limits)
    for one in limits:
        if result[one] is not None and name in (one, "all"):
            result[one] += -by if one == "least" else by
    return result


def compare(what, boards, half, ends, limits, prices, told, cost):
    """The least cost; and what gives where nothing keeps the limits."""
    least = programme(boards, half, ends, limits, prices)
    short = told["short"]
    yield Check(f"{what}: it can be bedded (HiGHS)", float(short is None), float(least is not None), 0.5)
    if least is not None and short is None:
        yield Check(f"{what}: least cost (HiGHS)", cost, least, COST_MM)
    if least is None and short is not None:
        gives = {NAMES[name]: by for name, by in short["gives"]}
        for name in ("range", "neighbours", "most", "least", "slope", "relieve"):
            if limits[name] is None:
                continue
            give = programme(boards, half, ends, limits, prices, name)
            yield Check(f"{what}: a limit alone helps (HiGHS)", float(name in gives), float(give is not None), 0.5)
            if give is not None and name in gives:
                yield Check(f"{what}: least giving (HiGHS)", gives[name], give, LENGTH_MM)
        first, by = next(iter(gives.items()))
        # Of the slope, so much over half the width.
        by += 4e-5
        given = widened(limits, first, by)
        if limits["slope"] is not None and first in ("slope", "all"):
            given["slope"] = limits["slope"] + by / half
        yield Check(f"{what}: least cost of the nearest (HiGHS)", cost, programme(boards, half, ends, given, prices), COST_MM)


def kept(what, told, limits, steps, gap_low):
    """What is told keeps the limits, where it says so."""
    if told["short"] is not None:
        return
    worst = -limits["relieve"] - gap_low
    for end in (0, 1):
        values = [step[end] for step in steps]
        if limits["range"] is not None:
            worst = max(worst, max(values) - min(values) - limits["range"])
        if limits["neighbours"] is not None and len(values) > 1:
            worst = max(worst, np.abs(np.diff(values)).max() - limits["neighbours"])
        if limits["most"] is not None:
            worst = max(worst, max(values) - limits["most"])
        if limits["least"] is not None:
            worst = max(worst, limits["least"] - min(values))
    yield Check(f"{what}: limits are kept", max(worst, 0.0), 0.0, LENGTH_MM)


def checks(case, answer):
    """Everything that is compared for one flight."""
    flight, bedding = case["job"]["flight"], case["job"]["bedding"]
    half, going = flight["width"] / 2, flight["going"]
    middle = flight["edge"] - half
    prices = (bedding["relieve_cost"], bedding["level_cost"])
    for cuts, read in zip(answer["cuts"], case["read"], strict=True):
        for ours, theirs in zip(np.diff(cuts["level"]), read["rises"][1:], strict=True):
            yield Check("cuts: rises between them, as read", ours, theirs, 1e-6)
        for ours, theirs in zip(np.diff(cuts["plumb"]), read["goings"], strict=True):
            yield Check("cuts: goings between them, as read", ours, theirs, 1e-6)
        q = -(next(s for s in case["job"]["stringers"] if s["name"] == cuts["stringer"])["inset"] + 19)
        yield Check("cuts: place across", cuts["q"], q, 1e-9)
    limits = case["limits"]
    # Treads.
    treads = answer["treads"]
    tread_limits = {
        "range": limits["rise_range"], "neighbours": limits["rise_neighbours"],
        "most": limits["rise_most"], "least": None, "slope": limits["slope"],
        "relieve": bedding["relieve_most"],
    }
    boards, lowest, cost = [], 0.0, 0.0
    for number, told in enumerate(treads["boards"]):
        falls = case["falls"]
        points = []
        c, d = told["across"] / flight["width"], -told["fall"] / going
        for cuts, read, bed in zip(answer["cuts"], case["read"], told["beds"], strict=True):
            for x, gap in zip((-going / 2, going / 2), bed) if falls else ((0.0, bed[0]),):
                at = cuts["level"][number] - read["falls"][number] * x / going
                weight = 0.5 if falls else 1.0
                points.append((cuts["q"] - middle, x, at + THICKNESS, weight))
                top = told["height"] + c * cuts["q"] + d * x
                yield Check("treads: what lies between", gap, top - THICKNESS - at, 2e-5)
                lowest = min(lowest, gap)
                cost += weight * (max(gap, 0.0) + prices[0] * max(-gap, 0.0))
        cost += prices[1] * (abs(told["across"]) + abs(told["fall"]))
        edge = -going / 2 - KICK - OVERHANG if falls else 0.0
        boards.append((points, going if falls else None, edge))
    yield from kept("treads", treads, tread_limits, treads["steps"], lowest)
    ends = (answer["below"], answer["above"])
    yield from compare("treads", boards, half, ends, tread_limits, prices, treads, cost)
    # Kicks: faces stand downhill of the cuts, so up is downhill and the last comes first.
    kicks = answer["kicks"]
    kick_limits = {
        "range": limits["going_range"], "neighbours": limits["going_neighbours"], "most": None,
        "least": limits["going_least"], "slope": None, "relieve": bedding["relieve_most"],
    }
    boards, lowest, cost = [], 0.0, 0.0
    for number, told in enumerate(kicks["boards"]):
        points = []
        for cuts, gap in zip(answer["cuts"], told["beds"], strict=True):
            face = told["face"] + told["skew"] / flight["width"] * cuts["q"]
            at = cuts["plumb"][number]
            yield Check("kicks: what stands between", gap, at - face - KICK, 2e-5)
            points.append((cuts["q"] - middle, 0.0, KICK - at, 1.0))
            lowest = min(lowest, gap)
            cost += max(gap, 0.0) + prices[0] * max(-gap, 0.0)
        cost += prices[1] * abs(told["skew"])
        boards.append((points, None, 0.0))
    yield from kept("kicks", kicks, kick_limits, kicks["steps"], lowest)
    yield from compare("kicks", boards[::-1], half, None, kick_limits, prices, kicks, cost)
