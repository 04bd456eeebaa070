"""Whole surveys: a job with random readings, adjusted by us and again here.

We solve in the space of the readings. Here it is solved in the space of the unknowns: what was
expected of each stands as one more reading beside the readings (`stated.py` says what), and the
stack is solved by QR. Then:

- every estimate, every reading as judged: numpy; a reading is predicted by really leaving it out;
- the suspects: numpy; the worst is really taken out and the rest solved again;
- readings that are not linear: the least sum of squares is sought by scipy's least_squares;
- walls read at points only: scikit-learn's Gaussian process with a linear drift.

Truths are drawn from what is expected and readings with their own errors, some with slips.
Lengths are millimetres.
"""

import numpy as np
from scipy.linalg import solve_triangular
from scipy.optimize import least_squares
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, DotProduct

from check import Check
from stated import BOW, BOW_LENGTH, WALL, Model, one

COUNT = 12
CRITICAL, CHECKABLE, MOST_SUSPECTS = 3.29, 0.1, 12
# Nobody can read a hundredth of a millimetre; both sides solve in f64 with variances from 0.01 to
# 9e6 mm^2 (a laser line that may be anywhere), which costs nine of its sixteen digits.
MEAN_MM = 1e-7
SD_SHARE = 1e-7
NUMBER = 1e-7
# Leaving out is done for so many readings of a job.
MOST_LEFT_OUT = 20


# Random jobs.


def sized(rng, low, high):
    """A length to a thousandth, so that its text is short and exact."""
    return round(float(rng.uniform(low, high)), 3)


def pick(rng, *choices):
    return choices[int(rng.integers(len(choices)))]


TOOLS = [
    {"name": "tape I", "is": {"Tape": {"class": "I", "mark": 1}}},
    {"name": "tape US", "is": {"Tape": {"class": "Handbook44"}}},
    {"name": "laser meter", "is": {"Distance": {"off": 1.5}}},
    {"name": "level", "is": {"Level": {"off": 0.3, "over": 600}}},
    {"name": "good laser", "is": {"Laser": {"off": 0.1}}},
    {"name": "long edge", "is": {"Straightedge": {"off": 0.2}}},
    {"name": "slope", "is": {"Slope": {"off": "0.05 deg"}}},
]


def common(rng, tools, surface=False, sides=None):
    """The fields that any reading may have."""
    made = {}
    if surface:
        made["on"] = pick(rng, "Finished", "Finished", "Rough", "DryFitted")
    if sides:
        made["side"] = pick(rng, *sides)
    if tools and rng.random() < 0.3:
        made["by"] = pick(rng, *tools)
    if rng.random() < 0.3:
        made["sd"] = sized(rng, 0.1, 2.5)
    return made


TAPES = ("tape I", "tape US", "laser meter")


def step_reading(rng, job, nonlinear):
    flight = job["flight"]
    count = flight["count"]
    kinds = [
        "Rise", "Going", "Width", "Overhang", "TreadThickness", "KickThickness", "Level", "Fall",
        "Edge", "Height", "Run", "TotalRise", "TotalRun", "Under", "Under", "Past",
    ]  # fmt: skip
    kind = pick(rng, *(["Pitch", "Diagonal"] if nonlinear else kinds))
    if count == 2 and kind in ("Pitch", "Diagonal"):
        kind = "TotalRise"
    sides = ["Line", "Open", "Wall", {"Stringer": "S1"}]
    step = int(rng.integers(1, count + 1))
    tread = int(rng.integers(1, count))
    below = int(rng.integers(0, step))
    lines = {what: [line["name"] for line in job["lines"] if what in line["runs"]] for what in ("Level", "Across")}
    if kind in ("Rise", "Height"):
        made = {"step": step} | ({"above": below} if kind == "Height" else {})
        made |= common(rng, TAPES, True, sides)
    elif kind in ("Going", "TotalRun", "TotalRise"):
        made = ({"step": tread} if kind == "Going" else {}) | common(rng, TAPES, True, sides)
    elif kind == "Run":
        made = {"step": tread + 1, "beyond": int(rng.integers(1, tread + 1))}
        made |= common(rng, TAPES, True, sides)
    elif kind == "Level":
        made = {"step": step, "high": pick(rng, "Open", "Wall")} | common(rng, ("level",))
    elif kind == "Fall":
        made = {"step": tread, "low": pick(rng, "Front", "Back")} | common(rng, ("level",))
    elif kind == "Under":
        made = {"step": int(rng.integers(0, count + 1)), "line": pick(rng, *lines["Level"])}
        made |= common(rng, ("good laser",), True, sides)
    elif kind == "Past":
        made = {"step": step, "line": pick(rng, *lines["Across"])}
        made |= common(rng, ("good laser",), True, sides)
    elif kind == "Pitch":
        made = {"from": int(rng.integers(1, count - 1)), "to": count} | common(rng, ("slope",), False, sides)
    elif kind == "Diagonal":
        first = int(rng.integers(1, count))
        ends = [{"step": at, "end": pick(rng, "Open", "Wall")} for at in (first, count)]
        made = {"from": ends[0], "to": ends[1]} | common(rng, TAPES)
    else:
        made = {"step": tread} | common(rng, TAPES)
    return {kind: made}


def wall_reading(rng, job, at, points, nonlinear):
    wall = job["walls"][at]
    long, head = Model.plan(wall)[3], wall["head"]
    foot = wall.get("foot", 0.0)
    along, up = sized(rng, 0, long), sized(rng, foot, head)
    here = {"along": along, "up": up}
    beside = [one["name"] for one in job["lines"] if one["runs"].get("Beside", {}).get("wall") == wall["name"]]
    many = len(job["walls"]) > 1
    kinds = ["Offset", "Plumb", "Plumb", "Straight"] + ["Line"] * 2 * bool(beside)
    if at == 0 and len(job["walls"]) > 2:
        kinds.append("Between")
    if nonlinear and many and at < len(job["walls"]) - 1:
        kinds = ["Corner"]
    kind = "Offset" if points else pick(rng, *kinds)
    if kind == "Offset":
        return {"Offset": here | common(rng, ("good laser",))}
    if kind == "Line":
        return {"Offset": here | {"line": pick(rng, *beside)} | common(rng, ("good laser",))}
    if kind == "Plumb":
        level = pick(rng, 600.0, 1219.2)
        made = here | {"level": level, "at": pick(rng, "Top", "Bottom")} | common(rng, ("level",))
        return {"Plumb": made | ({"touch": sized(rng, 0, level)} if rng.random() < 0.5 else {})}
    if kind == "Straight":
        made = here | {"length": pick(rng, 600.0, 1000.0, 1800.0), "lies": pick(rng, "Level", "Upright")}
        return {"Straight": made | common(rng, ("long edge",))}
    if kind == "Between":
        return {"Between": here | {"wall": "W3"} | common(rng, TAPES)}
    legs = {"leg": sized(rng, 600, 1500), "other_leg": sized(rng, 600, 1500)}
    return {"Corner": {"wall": job["walls"][at + 1]["name"], "up": up} | legs | common(rng, TAPES)}


def floor_reading(rng, job, floor, nonlinear):
    landing = "Landing" in floor["is"]
    kinds = ["Level", "Under"] + (["Edge", "Edge"] if landing else [])
    kind = pick(rng, *(["Diagonal", "Across"] if nonlinear and landing else kinds))
    if kind == "Level":
        way = pick(rng, "Uphill", "Downhill", "Open", "Wall")
        return {"Level": {"over": sized(rng, 600, 1800), "high": way} | common(rng, ("level",))}
    if kind == "Under":
        line = pick(rng, *(one["name"] for one in job["lines"] if "Level" in one["runs"]))
        made = {"x": sized(rng, -1500, 1500), "y": sized(rng, -900, 900), "line": line}
        return {"Under": made | common(rng, ("good laser",), not landing)}
    if kind == "Edge":
        return {"Edge": {"edge": pick(rng, "Open", "Wall")} | common(rng, TAPES)}
    if kind == "Across":
        return {"Edge": {"edge": pick(rng, "Uphill", "Downhill")} | common(rng, TAPES)}
    return {"Diagonal": {"from": pick(rng, "Open", "Wall")} | common(rng, TAPES)}


def room(rng, count):
    """Up to three walls of a room, one after the other, nearly square; the room on their left."""
    turn = rng.uniform(-0.05, 0.05, 3) + np.array([0.0, np.pi / 2, np.pi])
    at = np.array([sized(rng, -800, -300), sized(rng, -1200, -800)])
    walls = []
    for number in range(count):
        long = sized(rng, 2500, 4500)
        to = at + long * np.array([np.cos(turn[number]), np.sin(turn[number])])
        foot = sized(rng, -50, 300) if rng.random() < 0.5 else 0.0
        ends = [{"x": round(float(x), 3), "y": round(float(y), 3)} for x, y in (at, to)]
        walls.append(
            {"name": f"W{number + 1}", "from": ends[0], "to": ends[1], "foot": foot, "head": sized(rng, 2400, 3200)}
        )
        at = to
    return walls


def lines(rng, walls):
    made = [
        {"name": "L1", "runs": {"Level": {}}},
        {"name": "L2", "runs": {"Level": {"height": sized(rng, 800, 1600)}}, "by": "good laser"},
        {"name": "X1", "runs": {"Across": {}}, "by": "good laser"},
        {"name": "X2", "runs": {"Across": {"x": sized(rng, 200, 900)}}},
    ]
    for wall in walls:
        of = {"wall": wall["name"]} | ({"off": sized(rng, 50, 400)} if rng.random() < 0.5 else {})
        made.append({"name": f"B-{wall['name']}", "runs": {"Beside": of}})
    return made


# A railing for stairs of which the survey alone is asked.
DESIGN = {
    "rules": "none",
    "rail": {
        "name": "R1", "width": 57, "depth": 60, "height": 900,
        "lower": {"Newel": "N1"}, "upper": {"Newel": "N2"},
    },
    "balusters": {
        "section": {"Square": 32}, "spacing": {"PerTread": {"count": 2}},
        "peg": 19, "peg_diameter": 16, "edge_distance": 19,
    },
}  # fmt: skip


def job(rng, points, nonlinear):
    """`points`: walls are read at points only; `nonlinear`: some readings are not linear."""
    count = int(pick(rng, 2, 3, 4, 5, 6, 8, 16))
    walls = room(rng, int(rng.integers(1 if points else 0, 4)))
    ends = [{"x": sized(rng, a, a + 100), "y": sized(rng, b, b + 100)} for a, b in ((1500, 50), (2500, -1000))]
    floors = [
        {"name": "F0", "is": "Lower"},
        {"name": "F1", "is": "Upper"},
        {"name": "F2", "is": {"Landing": {"from": ends[0], "to": ends[1], "height": sized(rng, 1000, 1500)}}},
    ]
    made = {
        "format": 1,
        "units": "Millimetres",
        "instruments": TOOLS,
        "lines": lines(rng, walls),
        "flight": {
            "open_side": pick(rng, "Left", "Right"), "count": count,
            "rise": sized(rng, 165, 200), "going": sized(rng, 240, 300),
            "width": sized(rng, 850, 1100), "overhang": sized(rng, 19, 35),
            "edge": sized(rng, 50, 75), "tread_thickness": 26, "kick_thickness": 19,
            "floor_below": sized(rng, 0, 20), "floor_above": sized(rng, 0, 20),
        },
        "walls": walls,
        "floors": floors,
        "stringers": [{"name": "S1", "inset": 12.5, "thickness": 40, "throat": 120}],
        "design": DESIGN,
    }  # fmt: skip
    flat = [step_reading(rng, made, False) for _ in range(int(rng.integers(0, 5 * count)))]
    bent = [step_reading(rng, made, True) for _ in range(3 * nonlinear)]
    made["flight"]["readings"] = flat + bent
    for at, wall in enumerate(walls):
        many = int(rng.integers(1, 14))
        wall["readings"] = [wall_reading(rng, made, at, points, False) for _ in range(many)]
        wall["readings"] += [wall_reading(rng, made, at, points, True) for _ in range(2 * nonlinear)]
    for floor in floors:
        many = int(rng.integers(0, 5))
        floor["readings"] = [floor_reading(rng, made, floor, False) for _ in range(many)]
        floor["readings"] += [floor_reading(rng, made, floor, True) for _ in range(3 * nonlinear)]
    read(rng, made)
    return made


def containers(made):
    """Every reading's fields with its kind, in the order of the model's readings."""
    yield from (next(iter(one.items())) for one in made["flight"]["readings"])
    for place in made["walls"] + made["floors"]:
        yield from (next(iter(one.items())) for one in place["readings"])


def read(rng, made):
    """Draws a truth and reads it: the values go into the job."""
    for kind, of in containers(made):
        of["gap" if kind == "Plumb" else "is"] = "30 deg" if kind == "Pitch" else 500.0
    model = Model(made)
    space = Space(model, [])
    z = rng.normal(size=space.size)
    for (kind, of), reading in zip(containers(made), model.readings, strict=True):
        true = float(reading.of([space.value(part, z) for part in reading.parts]).real)
        # The tool's error at a length of this sort: the 500 mm above is near enough here.
        value = true + float(rng.normal()) * reading.sd
        if rng.random() < 0.04:
            value += pick(rng, -1, 1) * 15 * reading.sd
        if kind == "Pitch":
            of["is"] = f"{np.degrees(value):.4f} deg"
        else:
            of["gap" if kind == "Plumb" else "is"] = round(value, 3)


def cases(rng):
    made = []
    for number in range(COUNT):
        # A third with walls at points only, a third with readings that are not linear.
        points, nonlinear = number % 3 == 1, number % 3 == 2
        of = job(rng, points, nonlinear)
        probes = [
            [at, sized(rng, -200, 4500), sized(rng, -100, 3000)]
            for at, _ in enumerate(of["walls"])
            for _ in range(4)
        ]
        made.append({"job": of, "probes": probes})
    return made


# The adjustment.


def kernel(a, b):
    off = a[:, None, :] - b[None, :, :]
    return BOW**2 * np.exp(-0.5 * (off**2).sum(axis=2) / BOW_LENGTH**2)


class Space:
    """The unknowns as independent standard normal numbers."""

    def __init__(self, model, more):
        """`more`: sums that will be asked for beside the readings."""
        sums = [part for reading in model.readings for part in reading.parts] + more
        names = {name for one in sums for name in one.terms}
        self.scalars = {name: at for at, name in enumerate(sorted((n for n in names if n[0] != "bow"), key=str))}
        self.before = model.before
        self.size = len(self.scalars)
        self.bows = {}
        for wall in sorted({name[1] for name in names if name[0] == "bow"}):
            places = sorted({name[2:] for name in names if name[0] == "bow" and name[1] == wall})
            values, vectors = np.linalg.eigh(kernel(np.array(places), np.array(places)))
            # Places close together have bows alike: what has no variance is left out.
            kept = values > 1e-13 * values.max()
            root = vectors[:, kept] * np.sqrt(values[kept])
            for place, row in zip(places, root, strict=True):
                self.bows[("bow", wall, *place)] = (self.size, row)
            self.size += root.shape[1]

    def row(self, of):
        """A sum's mean before reading, and its weights."""
        mean, row = of.constant, np.zeros(self.size)
        for name, factor in of.terms.items():
            if name[0] == "bow":
                first, root = self.bows[name]
                row[first : first + len(root)] += factor * root
            else:
                expected, sd = self.before[name]
                mean += factor * expected
                row[self.scalars[name]] += factor * sd
        return mean, row

    def value(self, of, z):
        mean, row = self.row(of)
        return mean + row @ z


class Solved:
    """Rows of weights and departures, each over its standard deviation, beside what was expected."""

    def __init__(self, rows, departures, sds):
        size = rows.shape[1]
        stack = np.vstack([np.eye(size), rows / sds[:, None]])
        right = np.concatenate([np.zeros(size), departures / sds])
        # The departures ride along as a last column, so that no q is formed.
        whole = np.linalg.qr(np.column_stack([stack, right]), mode="r")
        self.r = whole[:size, :size]
        self.z = solve_triangular(self.r, whole[:size, size])

    def sds(self, rows):
        return np.linalg.norm(solve_triangular(self.r, rows.T, trans="T"), axis=0)

    def sd(self, row):
        return float(self.sds(row[None, :])[0])


class Adjusted:
    """A job adjusted: at the least sum of squares, and its tangent there."""

    def __init__(self, model, space):
        self.model, self.space = model, space
        readings = model.readings
        self.parts = [[space.row(part) for part in reading.parts] for reading in readings]
        self.values = np.array([reading.value for reading in readings])
        self.sds = np.array([reading.sd for reading in readings])
        self.linear = all(reading.shape is None for reading in readings)
        self.z = np.zeros(space.size)
        self.rows, self.means = self.tangents(self.z)
        if not self.linear:
            self.z = self.search()
            self.rows, self.means = self.tangents(self.z)
        self.solved = Solved(self.rows, self.values - self.means, self.sds)
        if self.linear:
            self.z = self.solved.z

    def read(self, z):
        at = [[mean + row @ z for mean, row in parts] for parts in self.parts]
        return np.array([one.of(values) for one, values in zip(self.model.readings, at, strict=True)])

    def tangents(self, z):
        """Weights of every reading at z, and what it would be at z = 0 by its tangent."""
        rows = np.zeros((len(self.parts), self.space.size))
        means = np.zeros(len(self.parts))
        for at, (reading, parts) in enumerate(zip(self.model.readings, self.parts, strict=True)):
            values = np.array([mean + row @ z for mean, row in parts])
            for number, (_, row) in enumerate(parts):
                # A slope without a difference: the imaginary part of a complex step.
                step = values.astype(complex)
                step[number] += 1e-30j
                rows[at] += reading.of(step).imag / 1e-30 * row
            means[at] = reading.of(values) - rows[at] @ z
        return rows, means

    def search(self):
        def misfits(z):
            return np.concatenate([z, (self.read(z) - self.values) / self.sds])

        def slopes(z):
            return np.vstack([np.eye(len(z)), self.tangents(z)[0] / self.sds[:, None]])

        found = least_squares(misfits, self.z, slopes, method="lm", xtol=1e-10, max_nfev=100)
        # The last digits: the search stops where the sum of squares stands still, which is flat.
        z = found.x
        for _ in range(100):
            step = np.linalg.lstsq(slopes(z), misfits(z), rcond=None)[0]
            z = z - step
            if np.abs(step).max() < 1e-12:
                break
        return z

    def without(self, left_out):
        kept = [at for at in range(len(self.values)) if at not in left_out]
        return Solved(self.rows[kept], (self.values - self.means)[kept], self.sds[kept])

    def predicted(self, at, left_out):
        """What the readings that are not left out make of one, its standard deviation, r and w."""
        rest = self.without({at} | set(left_out))
        mean = float(self.means[at] + self.rows[at] @ rest.z)
        sd = rest.sd(self.rows[at])
        whole = float(np.hypot(sd, self.sds[at]))
        return mean, sd, float((self.sds[at] / whole) ** 2), (self.values[at] - mean) / whole


# Checks.


def about(reference, tolerance=MEAN_MM):
    """Large values have fewer digits behind the point."""
    return tolerance * max(1.0, abs(reference) / 1000)


def scalar_checks(what, pair, adjusted, of, moved=0.0):
    if set(of.terms) - set(adjusted.space.scalars):
        # Nobody read it: as expected.
        ((name, _),) = of.terms.items()
        mean, sd = adjusted.space.before[name]
    else:
        mean, row = adjusted.space.row(of)
        sd = adjusted.solved.sd(row)
        mean += float(row @ adjusted.z)
    yield Check(f"{what}: mean", pair[0], mean + moved, about(mean))
    yield Check(f"{what}: standard deviation", pair[1], sd, SD_SHARE * max(sd, 1e-3))


def estimate_checks(model, adjusted, answer):
    count = model.flight["count"]
    for step, found in enumerate(answer["steps"], 1):
        for word, pair in found.items():
            moved = 0.0
            if word == "thickness" and step == count:
                moved = model.flight["tread_thickness"] - model.flight["floor_above"]
            yield from scalar_checks("steps (QR)", pair, adjusted, one("step", step, word), moved)
    for word, pair in zip(("level", "fall"), answer["lower"], strict=True):
        yield from scalar_checks("lower floor (QR)", pair, adjusted, one("step", 0, word))
    landings = [at for at, floor in enumerate(model.job["floors"]) if "Landing" in floor["is"]]
    for at, found in zip(landings, answer["landings"], strict=True):
        for word, pair in found.items():
            yield from scalar_checks("landing (QR)", pair, adjusted, one("landing", at, word))


def wall_checks(case, model, adjusted, answer):
    for at, found in enumerate(answer["walls"]):
        for word, of in (("start", model.plane(at, 0, 0)), ("splay", one("wall", at, "splay")), ("lean", one("wall", at, "lean"))):
            mean, row = adjusted.space.row(of)
            sd = adjusted.solved.sd(row)
            scale = 1.0 if word == "start" else 1e-3
            yield Check(f"wall's {word} (QR): mean", found[word][0], mean + float(row @ adjusted.z), scale * MEAN_MM)
            yield Check(f"wall's {word} (QR): standard deviation", found[word][1], sd, SD_SHARE * sd)
    for (at, along, up), (mean_, sd_, field) in zip(case["probes"], answer["probes"], strict=True):
        mean, row = adjusted.space.row(model.face(at, along, up))
        mean += float(row @ adjusted.z)
        sd = adjusted.solved.sd(row)
        # The root of the bow's covariance is cut off at 1e-13 of it, which costs a digit here.
        yield Check("wall at a place (QR): mean", mean_, mean, 10 * about(mean))
        yield Check("wall at a place (QR): field", field, mean, 10 * about(mean))
        yield Check("wall at a place (QR): standard deviation", sd_, sd, SD_SHARE * sd)


def process_checks(case, model, answer):
    """Walls that are read at points only, each for itself."""
    for at, wall in enumerate(model.walls):
        kinds = {kind for reading in wall["readings"] for kind in reading}
        free = all(reading["Offset"].get("line") is None for reading in wall["readings"] if "Offset" in reading)
        if kinds != {"Offset"} or not free:
            continue
        mine = [one for one in model.readings if one.path.startswith(f"walls[{at}].")]
        middle = np.array([model.long(wall) / 2, wall.get("foot", 0.0)])
        places = np.array([[of["Offset"]["along"], of["Offset"]["up"]] for of in wall["readings"]])
        slope = WALL["splay"]
        # slope^2 (sigma_0^2 + x . x') with sigma_0 = offset / slope: a plane about the middle.
        plane = ConstantKernel(slope**2, "fixed") * DotProduct(WALL["offset"] / slope, "fixed")
        bow = ConstantKernel(BOW**2, "fixed") * RBF(BOW_LENGTH, "fixed")
        alpha = np.array([one.sd**2 for one in mine])
        process = GaussianProcessRegressor(plane + bow, alpha=alpha, optimizer=None)
        process.fit(places - middle, np.array([one.value for one in mine]))
        for (of, along, up), (mean_, sd_, _) in zip(case["probes"], answer["probes"], strict=True):
            if of == at:
                mean, sd = process.predict(np.array([[along, up]]) - middle, return_std=True)
                yield Check("wall at a place (scikit-learn): mean", mean_, float(mean[0]), about(float(mean[0])))
                yield Check("wall at a place (scikit-learn): sd", sd_, float(sd[0]), SD_SHARE * float(sd[0]))


def reading_checks(adjusted, answer):
    readings, told = adjusted.model.readings, answer["readings"]
    yield Check("readings: how many", len(told), len(readings), 0.5)
    fitted = adjusted.means + adjusted.rows @ adjusted.z
    left_out = np.linspace(0, len(told) - 1, min(MOST_LEFT_OUT, len(told))).astype(int)
    for at, (ours, reading) in enumerate(zip(told, readings, strict=True)):
        yield Check("reading: its place in the job", ours["path"] == reading.path, True, 0.5)
        yield Check("reading: value", ours["value"], reading.value, 1e-9)
        yield Check("reading: standard uncertainty", ours["sd"], reading.sd, 1e-12 * reading.sd)
        yield Check("reading: fitted (QR)", ours["fitted"], fitted[at], about(fitted[at]))
        if at not in left_out:
            continue
        mean, sd, r, w = adjusted.predicted(at, ())
        # What is predicted of a reading that hardly anything else tells has its standard deviation
        # in metres.
        share = max(1.0, sd)
        yield Check("reading: predicted (left out)", ours["predicted"], mean, share * about(mean))
        yield Check("reading: predicted's sd (left out)", ours["predicted_sd"], sd, SD_SHARE * max(sd, reading.sd))
        yield Check("reading: r (left out)", ours["r"], r, NUMBER)
        yield Check("reading: w (left out)", ours["w"], w, NUMBER * max(1.0, abs(w)))


def suspect_checks(adjusted, answer):
    """Really taking out the worst, and solving the rest again."""
    out = []
    if not answer["readings"]:
        return
    for told in [*answer["suspects"], None]:
        if len(out) == MOST_SUSPECTS:
            return
        solved = adjusted.without(set(out))
        # Tests from the adjustment that the readings take part in: v / (sigma sqrt r).
        misfits = adjusted.values - adjusted.means - adjusted.rows @ solved.z
        r = 1 - (solved.sds(adjusted.rows) / adjusted.sds) ** 2
        r[out] = 0.0
        w = np.where(r >= CHECKABLE, abs(misfits) / (adjusted.sds * np.sqrt(np.maximum(r, 1e-9))), 0.0)
        worst = int(w.argmax())
        at = worst if w[worst] > CRITICAL else None
        yield Check("suspects: whether there is one more", told is not None, at is not None, 0.5)
        if told is None or at is None:
            return
        yield Check("suspects: which", told["reading"], at, 0.5)
        # Tests hang together as misfits do: sigma^2 I - A C A', over the roots of its diagonal.
        reach = solve_triangular(solved.r, adjusted.rows.T, trans="T")
        shared = np.diag(adjusted.sds**2) - reach.T @ reach
        spread = np.sqrt(np.maximum(np.diag(shared), 0.0))
        alike = abs(shared[at]) > 0.9 * spread[at] * spread
        all_w = abs(misfits) / np.maximum(spread, 1e-12)
        close = (abs(abs(shared[at]) - 0.9 * spread[at] * spread) < 1e-6 * spread[at] * spread) & (all_w > 3)
        alike &= all_w > CRITICAL
        alike[[at, *out]] = False
        # Misfits without a spread of their own follow nothing that can be told.
        if not close.any() and (spread / adjusted.sds).min() > 1e-5:
            yield Check("suspects: or which others", told["or"] == list(np.flatnonzero(alike)), True, 0.5)
        mean, sd, r, w = adjusted.predicted(at, out)
        yield Check("suspects: w (taken out)", told["w"], w, NUMBER * max(1.0, abs(w)))
        yield Check("suspects: r (taken out)", told["r"], r, NUMBER)
        yield Check("suspects: predicted (taken out)", told["predicted"], mean, max(1.0, sd) * about(mean))
        yield Check("suspects: predicted's sd", told["predicted_sd"], sd, SD_SHARE * max(sd, adjusted.sds[at]))
        out.append(at)


def checks(case, answer):
    """Everything that is compared for one survey."""
    model = Model(case["job"])
    more = [model.face(at, along, up) for at, along, up in case["probes"]]
    more += [model.plane(at, 0, 0) for at, _ in enumerate(model.walls)]
    adjusted = Adjusted(model, Space(model, more))
    yield Check("settled", answer["settled"], True, 0.5)
    kind = "linear" if adjusted.linear else "not linear (least_squares)"
    for check in estimate_checks(model, adjusted, answer):
        yield Check(f"{kind}: {check.what}", check.ours, check.reference, check.tolerance)
    yield from wall_checks(case, model, adjusted, answer)
    yield from process_checks(case, model, answer)
    yield from reading_checks(adjusted, answer)
    yield from suspect_checks(adjusted, answer)
