"""The reference libraries on the work of `tests/benches/table`, beside our times, as one table.

    table.py write DIR                                     the cases that our side answers
    table.py compare DIR [--with PROGRAM] [--frames BENCH] runs the libraries and prints the table

`tests/benches/table.sh` calls both, our bench between them. A ratio is of equal results: each row says
whether the library found what we found, and where it did not the exit status is 1. One thread each
unless a row says otherwise. Making a library's objects is not counted, as making our solids is not;
an interpreter and what it loaded are in its memory. Lengths are millimetres.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import json
import re
import subprocess
import sys
import tempfile
import time
import warnings
from pathlib import Path

import fcl
import numpy as np
import shapely
import trimesh
from SALib.analyze import sobol
from SALib.test_functions import Ishigami
from scipy.linalg import cho_factor, cho_solve, solve_triangular
from scipy.spatial import ConvexHull
from shapely.geometry import MultiPoint, box

import propagation
import stocks
import surveys
from stated import BOW, BOW_LENGTH, WALL, Model

SIZES = ["demo", "1", "2", "8", "80"]
FLIGHTS = ["1", "2", "8", "80"]
# Seconds that a library's work is repeated for, the least and the most times; once what takes longer.
LONG_ENOUGH, LEAST, MOST, LONG = 0.5, 3, 50, 5.0
# `src/measure/tolerance.rs`: pieces may touch this deep. fcl's depths are good to about 1e-6 of the
# size of the pieces; what lies so near the bound is held for neither.
CONTACT_MM, NEAR_MM = 0.05, 0.01
# The house's tolerance on a ball, and what GEOS is asked for.
BALL_MM = 0.1
# A ball may grow outside of its cell by half of this, as the cell's pieces reach so far at least.
OUT_MM = 120.0
ROWS = 16384
COST = 1e-6
# HiGHS is asked where its programme has no more columns than this; it takes minutes beyond.
COLUMNS = 60_000


def timed(work):
    """Milliseconds of the best of several, the peak of memory in MB during the first, and its result."""
    Path("/proc/self/clear_refs").write_text("5")
    times, result = [], None
    while len(times) < LEAST or (sum(times) < LONG_ENOUGH and len(times) < MOST):
        began = time.perf_counter()
        made = work()
        times.append(time.perf_counter() - began)
        if result is None:
            result, peak = made, peak_mb()
        if times[0] > LONG:
            break
    return min(times) * 1e3, peak, result


def peak_mb():
    text = Path("/proc/self/status").read_text()
    return int(re.search(r"VmHWM:\s+(\d+)", text)[1]) * 1024 / 1e6


# The cases that our side answers.


def wander(seed):
    """Differences that repeat themselves from run to run, within 3 mm of nothing."""
    return round(float(3.0 * np.sin(seed * 1.618)), 6)


def wall(name, y, count):
    readings = [
        {"Offset": {
            "along": round(4500.0 * (at * 0.618034 % 1.0), 6),
            "up": round(2400.0 * (at * 0.754878 % 1.0), 6),
            "is": wander(at),
        }}
        for at in range(count)
    ]  # fmt: skip
    ends = [{"x": x, "y": y} for x in (0.0, 4500.0)]
    return {"name": name, "from": ends[0], "to": ends[1], "foot": 0.0, "head": 2400.0, "readings": readings}


def steps():
    """Sixteen steps, read all over."""
    rise, going, width, edge = 185.0, 260.0, 950.0, 60.0
    readings = []
    for step in range(1, 17):
        readings += [
            {"Rise": {"step": step, "is": rise + wander(step)}},
            {"Height": {"step": step, "above": 0, "is": rise * step + wander(step + 20)}},
        ]
        if step < 16:
            readings += [
                {"Going": {"step": step, "is": going + wander(step + 40)}},
                {"Run": {"step": step + 1, "beyond": 1, "is": going * step + wander(step + 60)}},
                {"Edge": {"step": step, "is": edge + wander(step + 80)}},
                {"Width": {"step": step, "is": width + wander(step + 90)}},
                {"Level": {"step": step, "is": 1.0, "high": "Open"}},
                {"Overhang": {"step": step, "is": 25.0}},
            ]
    ends = [{"step": 1, "end": "Open"}, {"step": 15, "end": "Wall"}]
    # Nosing to nosing: fourteen goings, fourteen rises and the width.
    straight = round(float(np.sqrt((14 * going) ** 2 + (14 * rise) ** 2 + width**2)), 3)
    return [*readings, {"Diagonal": {"from": ends[0], "to": ends[1], "is": straight}}]


def job(readings, walls):
    return {
        "format": 1,
        "units": "Millimetres",
        "lines": [],
        "instruments": [],
        "flight": {
            "open_side": "Left", "count": 16, "rise": 185.0, "going": 260.0, "width": 950.0,
            "overhang": 25.0, "edge": 60.0, "tread_thickness": 26.0, "kick_thickness": 19.0,
            "floor_below": 0.0, "floor_above": 0.0, "readings": readings,
        },
        "walls": walls,
        "floors": [],
        "stringers": [],
        "design": surveys.DESIGN,
    }  # fmt: skip


def survey_cases():
    read = steps()
    left = 200 - len(read)
    counts = [left // 3, left // 3, left - 2 * (left // 3)]
    walls = [wall(name, y, n) for name, y, n in zip("ABC", (-1000.0, 1500.0, 2500.0), counts, strict=True)]
    probes = [[0, along, up] for along in (100.0, 2000.0, 4400.0) for up in (200.0, 1300.0)]
    return [
        {"job": job(read, walls), "probes": probes},
        {"job": job([], [wall("A", -1000.0, 2000)]), "probes": probes},
    ]


def share_cases():
    rng = np.random.default_rng(7)
    low, high = propagation.BOUNDS_ISHIGAMI
    drawn = [rng.uniform(low, high, (ROWS, 3)).tolist() for _ in range(2)]
    return [{"kind": "shares", "function": "ishigami", "a": drawn[0], "b": drawn[1]}]


def board_cases():
    """The textbooks', and three thousand pieces by the sixteenth of an inch, and of any length."""
    boards = [(8.0, 11.5), (12.0, 16.9), (16.0, 23.2), (20.0, 31.0)]
    stock = [{"length": feet * 304.8, "price": price, "count": None, "defects": []} for feet, price in boards]
    rng = np.random.default_rng(1)
    sixteenths = 25.4 / 16 * (64 + np.round(1856 * rng.random(3000)))
    anything = np.round(100.0 + 2948.0 * rng.random(3000), 6)
    own = [
        {"what": what, "pieces": [[float(one), 1, None] for one in lengths], "stock": stock,
         "kerf": 3.175, "trim": 12.7, "cell": None, "best": None}
        for what, lengths in (("3,000 pieces by the 1/16 in", sixteenths), ("3,000 pieces of any length", anything))
    ]  # fmt: skip
    return [dict(case) | {"spares": []} for case in [*stocks.TEXTBOOKS, *own]]


def write(folder):
    for name, cases in (("surveys", survey_cases()), ("shares", share_cases()), ("boards", board_cases())):
        (folder / f"{name}.json").write_text(json.dumps(cases))


# The libraries.


class Beside:
    """The rows of the second table."""

    def __init__(self, folder):
        self.folder = folder
        self.rows, self.well = [], True
        told = self.read("stages.json")
        self.stages = {(one["stage"], one["size"]): one["taken"] for one in told}
        self.answers = self.read("answers.json")

    def read(self, name):
        return json.loads((self.folder / name).read_text())

    def add(self, what, size, ours, library, theirs, same, says):
        """`ours` as our side told it, `theirs` ms and MB."""
        self.well &= same
        ms, mb = theirs
        self.rows.append([
            what, size, number(ours["best_ms"]), number(ours["peak_mb"]), library, number(ms), number(mb),
            f"{ours['best_ms'] / ms:.3g}", ("" if same else "DIFFERS: ") + says,
        ])  # fmt: skip
        if sys.stderr.isatty():
            print("\r" + " " * 79 + f"\r{what} {size}: {library}", end="", file=sys.stderr, flush=True)


def convex(corners, faces):
    flat = [number for face in faces for number in (len(face), *face)]
    return fcl.Convex(np.array(corners), len(faces), np.array(flat))


def clashes(beside):
    for size in SIZES:
        work = beside.read(f"parts-{size}.json")
        ours = beside.stages["clashes", size]
        by_fcl(beside, size, work, ours)
        by_trimesh(beside, size, work, ours)


def by_fcl(beside, size, work, ours):
    """Its tree of boxes over all pieces, and its own test of each pair."""
    shapes = [convex(corners, faces) for _, corners, faces in work["pieces"]]
    objects = [fcl.CollisionObject(shape) for shape in shapes]
    parts = {id(shape): part for shape, (part, _, _) in zip(shapes, work["pieces"], strict=True)}
    request = fcl.CollisionRequest(num_max_contacts=10_000_000, enable_contact=True)

    def collide():
        data = fcl.CollisionData(request=request)
        manager = fcl.DynamicAABBTreeCollisionManager()
        manager.registerObjects(objects)
        manager.setup()
        manager.collide(data, fcl.defaultCollisionCallback)
        return data

    ms, mb, data = timed(collide)
    depths = {}
    for one in data.result.contacts:
        pair = tuple(sorted((parts[id(one.o1)], parts[id(one.o2)])))
        if pair[0] != pair[1]:
            depths[pair] = max(depths.get(pair, 0.0), one.penetration_depth)
    # Which pairs overlap is asked of it, not how deep: its depth is not always that of the least push (44 mm of
    # a baluster that stands 19 mm in its tread). Depths are held against other libraries in `pieces.py`.
    if work["overlaps"] is None:
        same, said = True, "too many to be held against each other"
    else:
        ours_ = {(a, b) for a, b, _ in work["overlaps"]}
        theirs = {pair for pair, depth in depths.items() if depth > CONTACT_MM}
        near = lambda pair: abs(depths.get(pair, 1.0) - CONTACT_MM) <= NEAR_MM
        differ = {pair for pair in ours_ ^ theirs if not near(pair)}
        same = not differ
        said = f"{len(ours_)} pairs overlap" + (f", {len(differ)} differ" if differ else "")
    beside.add("clashes", size, ours, "python-fcl", (ms, mb), same, said)


def by_trimesh(beside, size, work, ours):
    """Parts as meshes of their pieces, and which of them meet; it tells no depth of pieces."""
    meshes = {}
    for part, corners, faces in work["pieces"]:
        triangles = [[face[0], b, c] for face in faces for b, c in zip(face[1:], face[2:])]
        meshes.setdefault(part, []).append(trimesh.Trimesh(corners, triangles, process=False))
    manager = trimesh.collision.CollisionManager()
    for part, pieces in meshes.items():
        manager.add_object(str(part), trimesh.util.concatenate(pieces))
    ms, mb, (_, names) = timed(lambda: manager.in_collision_internal(return_names=True))
    met = {tuple(sorted(map(int, pair))) for pair in names}
    found = work["clashes"] if work["overlaps"] is None else work["overlaps"]
    missed = [(a, b) for a, b, depth in found if (a, b) not in met and depth > CONTACT_MM + NEAR_MM]
    # Of a part that lies wholly inside another no surfaces meet.
    missed = [pair for pair in missed if not inside(meshes, *pair)]
    says = f"{len(met)} meet, ours all among them" if not missed else f"{len(missed)} of ours are not among {len(met)}"
    beside.add("clashes", size, ours, "trimesh", (ms, mb), not missed, says)


def inside(meshes, a, b):
    """Whether all corners of one part lie in one piece of the other."""
    def within(inner, outer):
        corners = np.vstack([piece.vertices for piece in meshes[inner]])
        hulls = [ConvexHull(piece.vertices).equations for piece in meshes[outer]]
        return any((corners @ hull[:, :3].T + hull[:, 3]).max() < NEAR_MM for hull in hulls)

    return within(a, b) or within(b, a)


def circle(opening):
    """The largest circle that GEOS finds in the middle plane of an opening, its middle in the cell."""
    grown, cell, solid = opening
    left = shapely.difference(grown, shapely.union_all(solid))
    parts = [part for part in getattr(left, "geoms", [left]) if part.area > 0.0 and part.intersects(cell)]
    best = (0.0, True)
    for part in parts:
        found = shapely.maximum_inscribed_circle(part, tolerance=BALL_MM / 2)
        middle = shapely.Point(found.coords[0])
        best = max(best, (2 * found.length, cell.distance(middle) < BALL_MM))
    return best


def balls(beside):
    for size in SIZES:
        told = beside.read(f"openings-{size}.json")
        openings = []
        for one in told:
            u, w = one["half"]
            solid = np.array([MultiPoint(ring).convex_hull for ring in one["rings"]], dtype=object)
            grown = box(-u - OUT_MM, -w - OUT_MM, u + OUT_MM, w + OUT_MM)
            openings.append((grown, box(-u, -w, u, w), solid))
        ms, mb, found = timed(lambda: [circle(one) for one in openings])
        equal, larger, odd, beyond = 0, 0, 0, 0
        for one, (across, within) in zip(told, found, strict=True):
            if not within:
                beyond += 1
            elif one["lower"] - 2 * BALL_MM <= across <= one["upper"] + 2 * BALL_MM:
                equal += 1
            elif across > one["upper"]:
                larger += 1
            else:
                odd += 1
        # The middle plane bounds every ball from above, and gives it where all runs square through.
        says = f"{equal} of {len(told)} the same"
        says += f", {larger} larger: a bound from above only" if larger else ""
        says += f", {beyond} with its middle outside the cell" if beyond else ""
        says += f", {odd} SMALLER" if odd else ""
        ours = beside.stages["openings, their balls on one thread", size]
        beside.add("balls", size, ours, "shapely (GEOS)", (ms, mb), odd == 0 and equal > 0, says)


def adjusted(design, noise, values):
    """In covariance form: the readings' weights, the diagonal of the inverse, all variances."""
    covariance = design @ design.T + np.diag(noise)
    factor = cho_factor(covariance, lower=True)
    weights = cho_solve(factor, values)
    inverse = cho_solve(factor, np.eye(len(noise)))
    half = solve_triangular(factor[0], design, lower=True)
    return weights, np.diag(inverse), 1.0 - (half**2).sum(axis=0)


def adjustments(beside):
    cases = beside.read("surveys.json")
    flight, one_wall = zip(cases, beside.answers["surveys"], strict=True)
    case, told = flight
    model = Model(case["job"])
    base = surveys.Adjusted(model, surveys.Space(model, []))
    noise = base.sds**2
    ms, mb, (weights, inverse, _) = timed(lambda: adjusted(base.rows, noise, base.values - base.means))
    off = 0.0
    for at, ours in enumerate(told["answer"]["readings"]):
        off = max(off, abs(ours["fitted"] - (base.values[at] - noise[at] * weights[at])))
        off = max(off, abs(ours["r"] - noise[at] * inverse[at]))
    every = list(surveys.checks(case, told["answer"]))
    wrong = [check for check in every if check.off > check.tolerance]
    says = f"readings within {off:.1g} mm; {len(every) - len(wrong)} of {len(every)} checks by QR agree"
    beside.add("adjusting 16 steps, 3 walls, 200 readings", "", told["taken"], "numpy, scipy", (ms, mb), off < 1e-6 and not wrong, says)
    of_wall(beside, *one_wall)


def of_wall(beside, case, told):
    """scikit-learn's Gaussian process with a plane, fitted; ours also judges every reading."""
    model = Model(case["job"])
    wall = model.walls[0]
    middle = np.array([model.long(wall) / 2, wall["foot"]])
    places = np.array([[of["Offset"]["along"], of["Offset"]["up"]] for of in wall["readings"]]) - middle
    values = np.array([one.value for one in model.readings])
    alpha = np.array([one.sd**2 for one in model.readings])
    slope = WALL["splay"]
    plane = surveys.ConstantKernel(slope**2, "fixed") * surveys.DotProduct(WALL["offset"] / slope, "fixed")
    bow = surveys.ConstantKernel(BOW**2, "fixed") * surveys.RBF(BOW_LENGTH, "fixed")
    process = surveys.GaussianProcessRegressor(plane + bow, alpha=alpha, optimizer=None)
    ms, mb, _ = timed(lambda: process.fit(places, values))
    off = 0.0
    for (_, along, up), (mean_, sd_, _) in zip(case["probes"], told["answer"]["probes"], strict=True):
        mean, sd = process.predict(np.array([[along, up]]) - middle, return_std=True)
        off = max(off, abs(mean_ - mean[0]), abs(sd_ - sd[0]))
    says = f"within {off:.1g} mm at {len(case['probes'])} places; it fits only"
    beside.add("adjusting one wall, 2,000 readings", "", told["taken"], "scikit-learn", (ms, mb), off < 1e-6, says)


def columns(case):
    """About how many columns its programme of flow has."""
    sizes = len(stocks.wanted(case))
    return sum(int(board["length"] / case["cell"]) * (sizes + 1) for board in case["stock"])


def boards(beside):
    for size in SIZES:
        sections = beside.read(f"stock-{size}.json")
        asked = [one for one in sections if one["cost"] is not None]
        if not asked or max(map(columns, asked)) > COLUMNS:
            continue
        ms, mb, found = timed(lambda asked=asked: [stocks.highs(one) for one in asked])
        best = sum(cost for cost, _ in found)
        ours = sum(one["cost"] for one in asked)
        proven = all(done for _, done in found)
        says = f"{len(asked)} sections: ours {ours:.2f}, HiGHS {best:.2f}{'' if proven else ', not proven'}"
        same = ours >= best * (1 - COST) if proven else True
        same &= ours <= best * 1.01
        beside.add("boards planned", size, beside.stages["boards planned", size], "HiGHS", (ms, mb), same, says)
    for case, told in zip(beside.read("boards.json"), beside.answers["boards"], strict=True):
        answer = told["answer"]
        gap = answer["cost"] / answer["bound"] - 1
        if case["cell"] is None:
            says = f"{100 * gap:.2f} % above its bound at most"
            beside.rows.append([f"boards: {case['what']}", "", number(told["taken"]["best_ms"]), number(told["taken"]["peak_mb"]), "", "", "", "", says])
            continue
        ms, mb, (best, proven) = timed(lambda case=case: stocks.highs(case))
        same = proven and abs(best - answer["cost"]) < COST * best
        beside.add(f"boards: {case['what']}", "", told["taken"], "HiGHS", (ms, mb), same, f"both {best:.0f}" if same else f"ours {answer['cost']}, HiGHS {best}")


def indices(beside):
    (case,), (told,) = beside.read("shares.json"), beside.answers["shares"]
    a, b = np.array(case["a"]), np.array(case["b"])
    inputs = a.shape[1]
    problem = {"num_vars": inputs, "names": [str(i) for i in range(inputs)], "bounds": [[0, 1]] * inputs}

    def analysed():
        rows = np.repeat(a[:, None, :], inputs + 2, axis=1)
        for group in range(inputs):
            rows[:, group + 1, group] = b[:, group]
        rows[:, -1] = b
        results = Ishigami.evaluate(rows.reshape(-1, inputs))
        return sobol.analyze(problem, results, calc_second_order=False, seed=1)

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        ms, mb, theirs = timed(analysed)
    ours = told["answer"]["shares"]
    total = max(abs(one["total"] - st) for one, st in zip(ours, theirs["ST"], strict=True))
    first = max(
        abs(one["first"] - s1) / np.hypot(one["first_se"], conf / 1.96)
        for one, s1, conf in zip(ours, theirs["S1"], theirs["S1_conf"], strict=True)
    )
    says = f"total shares within {total:.1g}, first ones within {first:.1f} standard errors"
    what = f"shares of variance, Ishigami, {ROWS:,} samples, ours on two threads"
    beside.add(what, "", told["taken"], "SALib", (ms, mb), total < 1e-9 and first < propagation.ERRORS, says)


def draws(beside):
    """numpy multiplies by the matrix that our draw of the steps comes to; ours draws walls too."""
    told = beside.answers["drawn"]
    answer = told["answer"]
    matrix, count = np.array(answer["columns"]), answer["draws"]
    generator = np.random.Generator(np.random.PCG64(1))
    ms, mb, drawn = timed(lambda: generator.standard_normal((count, len(matrix))) @ matrix)
    exact = np.sqrt((matrix**2).sum(axis=0))
    error = exact / np.sqrt(2 * count) + 1e-12
    worst = [np.max(abs(sds - exact) / error) for sds in (np.array(answer["sds"]), np.sqrt((drawn**2).mean(axis=0)))]
    says = f"spreads within {worst[0]:.1f} and {worst[1]:.1f} standard errors of the matrix's own"
    beside.add(f"{count:,} draws of what readings leave open", "demo", told["taken"], "numpy", (ms, mb), max(worst) < 5.0, says)


def every_pair(beside):
    told, ours = beside.answers["every_pair"], beside.stages["clashes", "demo"]
    taken = told["taken"]
    beside.add("clashes", "demo", ours, "every pair of pieces, by ours", (taken["best_ms"], taken["peak_mb"]), told["answer"] > 0, f"{told['answer']} overlap")


# What draws.


def child(words):
    """Seconds and the peak of memory in MB of a program of its own, and what it printed."""
    began = time.perf_counter()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as bad:
        running = subprocess.Popen(words, stdout=out, stderr=bad)
        _, status, used = os.wait4(running.pid, 0)
        took = time.perf_counter() - began
        running.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        bad.seek(0)
        said = out.read().decode() + bad.read().decode()
    return took, used.ru_maxrss * 1024 / 1e6, running.returncode, said


def drawn_stages(folder, program, frames):
    """Rows of the first table: ms for each size, and the peak at the largest."""
    rows, well = [], True
    commands = [
        ("picture of 1600x1000, process start to file", ["picture"], "png"),
        ("client's page with its pictures, the same", ["page"], "html"),
    ]
    for what, words, ending in commands if program else []:
        cells, peak = {}, 0.0
        for size in SIZES:
            to = folder / f"drawn-{size}.{ending}"
            took, mb, code, said = child([program, *words, str(folder / f"stair-{size}.ron"), "--to", str(to)])
            # Status 1 says that the stair has troubles.
            if code not in (0, 1) or not to.exists():
                print(f"{what}, {size}: {said}", file=sys.stderr)
                well = False
                continue
            cells[size] = (took * 1e3, took * 1e3)
            peak = max(peak, mb)
        rows.append((what, cells, peak))
    if frames:
        cells, peak = {}, 0.0
        for size, only in (("demo", "demo"), ("80", "tower")):
            _, mb, code, said = child([frames, "--only", only, "--size", "1280x720", "--frames", "10"])
            first = re.search(r"first ([0-9.]+) s", said)
            well &= code == 0 and first is not None
            if first:
                cells[size] = (float(first[1]) * 1e3,) * 2
                peak = max(peak, mb)
            else:
                print(f"frames {only}: {said}", file=sys.stderr)
        rows.append(("window's first whole frame, 1280x720", cells, peak))
    return rows, well


# The tables.


def number(value):
    """Three digits."""
    if value is None:
        return ""
    if value >= 100:
        return f"{value:.0f}"
    return f"{value:.3g}"


def growth(cells):
    """The power of the number of flights that medians grow by: least squares on logarithms."""
    if any(size not in cells for size in FLIGHTS):
        return ""
    logs = np.log([[int(size), cells[size][0]] for size in FLIGHTS])
    return f"{np.polyfit(logs[:, 0], logs[:, 1], 1)[0]:.2f}"


def show(head, rows):
    widths = [max(len(row[at]) for row in [head, *rows]) for at in range(len(head))]
    line = lambda row: "| " + " | ".join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)) + " |"  # noqa: E731
    print(line(head))
    print("| " + " | ".join("-" * wide for wide in widths) + " |")
    for row in rows:
        print(line(row))


def stage_rows(beside, drawn):
    rows = []
    for stage in dict.fromkeys(stage for stage, _ in beside.stages):
        taken = {size: one for (of, size), one in beside.stages.items() if of == stage}
        peak = max(one["peak_mb"] or 0.0 for one in taken.values())
        rows.append((stage, {size: (one["median_ms"], one["best_ms"]) for size, one in taken.items()}, peak))
    for what, cells, peak in rows + drawn:
        told = [" / ".join(map(number, cells[size])) if size in cells else "" for size in SIZES]
        yield [what, *told, growth(cells), number(peak)]


def compare(folder, program, frames):
    beside = Beside(folder)
    for part in (clashes, every_pair, balls, adjustments, boards, indices, draws):
        part(beside)
    if sys.stderr.isatty():
        print("\r" + " " * 79 + "\r", end="", file=sys.stderr)
    drawn, well = drawn_stages(folder, program, frames)
    cores = len(os.sched_getaffinity(0))
    print(f"{time.strftime('%Y-%m-%d')}, {cores} cores, load {os.getloadavg()[0]:.1f} over the last minute.")
    print("Milliseconds, median / best; flights of twelve rises with a level rail between each two. Growth is")
    print("the power of the number of flights. Peak: the most memory that the process held, of all sizes, MB.\n")
    head = ["stage", "demo", "1 flight", "2", "8", "80", "growth", "peak MB"]
    show(head, list(stage_rows(beside, drawn)))
    print("\nBeside the libraries on the same work, best of each, ms and peak MB:\n")
    head = ["what", "flights", "ours", "MB", "library", "takes", "MB", "ours/its", "found the same"]
    show(head, beside.rows)
    return 0 if beside.well and well else 1


def main(words):
    if len(words) == 2 and words[0] == "write":
        write(Path(words[1]))
        return 0
    if len(words) >= 2 and words[0] == "compare":
        rest = dict(zip(words[2::2], words[3::2], strict=False))
        if len(words) % 2 == 0 and set(rest) <= {"--with", "--frames"}:
            return compare(Path(words[1]), rest.get("--with"), rest.get("--frames"))
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
