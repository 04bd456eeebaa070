"""Whole flights: a job with random readings, set out by us and worked again here.

The steps are placed here from the readings, by running sums. Then:

- the rail's height against its window, and the baluster line between its pegs: linear programmes,
  solved by HiGHS (scipy); only feasibility and objectives are compared;
- the notch of every newel: GEOS (shapely), the twisted foot cut with each tread, kick and
  open-side skirt; what is left of each kick: manifold;
- where the balusters stand along the flight: gap = (going - k w) / k on every tread.

Lengths are millimetres; x runs up the flight, q out from the baluster line to the open side.
"""

import manifold3d
import numpy as np
from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from check import Check
from lines import least_departure, least_movement, margin

COUNT = 60
LENGTH_MM = 3e-5
AREA_MM2 = 1e-6
# A kick of some 3e6 mm^3 whose corners are rounded at 5e-13 mm, and manifold's own tolerance of 1e-12
# of its size.
VOLUME_MM3 = 1e-2
ANGLE = 1e-9
# A foot with less than this before a kick's face stands on the step above: 1/8 in.
BEARING = 3.175
# A smaller cut-out is a scribe line.
LEAST_NOTCH_MM2 = 1.0
ROUND_SIDES = 16
# Readings so sure, mm, that the adjustment takes them as they are: set-out is worked here, not survey.
SURE = 1e-5


def sized(rng, low, high):
    """A length to a thousandth, so that its text is short and exact."""
    return round(float(rng.uniform(low, high)), 3)


def readings(rng, count, meant):
    """Now and then one step differs from what was meant."""
    result = []
    spread = {"Rise": 6, "Going": 8, "Width": 12, "Overhang": 4, "Edge": 7}
    for step in range(1, count + 1):
        for kind, much in spread.items():
            if rng.random() < 0.35:
                is_ = round(meant[kind] + float(rng.normal()) * much, 3)
                result.append({kind: {"step": step, "is": is_, "sd": SURE}})
        if rng.random() < 0.35:
            level = {"step": step, "sd": SURE, "is": sized(rng, 0, 8), "high": str(rng.choice(["Open", "Wall"]))}
            result.append({"Level": level})
    order = rng.permutation(len(result))
    return [result[index] for index in order]


def section(rng, low, high):
    kind = rng.choice(["Square", "Round", "Rectangle"])
    if kind == "Rectangle":
        return {"Rectangle": {"along": sized(rng, low, high), "across": sized(rng, low, high)}}
    return {str(kind): sized(rng, low, high)}


def newel(rng, name, step, displaced):
    made = {
        "name": name,
        "section": section(rng, 70, 140),
        "stands": {
            "Displaces": {"step": step, "balusters": displaced, "move_by": sized(rng, -15, 15)}
        },
        "height": 1250,
    }
    if rng.random() < 0.6:
        made["twist"] = f"{round(float(rng.normal() * 4), 3)} deg"
    return made


def job(rng):
    count = int(rng.integers(4, 17))
    meant = {
        "Rise": sized(rng, 165, 200),
        "Going": sized(rng, 240, 300),
        "Width": sized(rng, 850, 1100),
        "Overhang": sized(rng, 19, 35),
        "Edge": sized(rng, 50, 75),
    }
    each = int(rng.integers(1, 4))
    design = {
        "rules": "none",
        "newels": [
            newel(rng, "N1", 1, int(rng.integers(0, each + 1))),
            newel(rng, "N2", count - 1, int(rng.integers(0, each + 1))),
        ],
        "rail": {
            "name": "R1",
            "width": 57,
            "depth": 60,
            "height": sized(rng, 840, 990),
            "hold": str(rng.choice(["Hold", "GreatestMargin"], p=[0.7, 0.3])),
            "lower": {"Newel": "N1"},
            "upper": {"Newel": "N2"},
        },
        "balusters": {
            "section": section(rng, 28, 40),
            "spacing": {"PerTread": {"count": each, "set_back": sized(rng, 0, 6)}},
            "peg": 19,
            "peg_diameter": 16,
            # From slack to so wide that the pegs hold the line in from where the reveals want it.
            "edge_distance": sized(rng, 5, 60),
        },
    }
    if rng.random() < 0.5:
        design["reveal"] = sized(rng, 20, 45)
    return {
        "format": 1,
        "units": "Millimetres",
        "flight": {
            "open_side": str(rng.choice(["Left", "Right"])),
            "count": count,
            "rise": meant["Rise"],
            "going": meant["Going"],
            "width": meant["Width"],
            "overhang": meant["Overhang"],
            "tread_thickness": 26,
            "kick_thickness": 19,
            "edge": meant["Edge"],
            "readings": readings(rng, count, meant),
        },
        "skirts": [{"name": "Q1", "side": "Open", "thickness": sized(rng, 15, 25), "width": 150}],
        "design": design,
    }


def cases(rng):
    """Jobs with limits on the rail's height, both, one or neither."""
    result = []
    for _ in range(COUNT):
        wide = rng.choice([101.6, 50.0, 20.0])
        low = sized(rng, 850, 900)
        result.append(
            {
                "job": job(rng),
                "rail_low": low if rng.random() < 0.9 else None,
                "rail_high": low + float(wide) if rng.random() < 0.8 else None,
            }
        )
    return result


class Step:
    """One step in place."""

    def __init__(self, number, kick_x, height, found):
        self.number, self.kick_x, self.height = number, kick_x, height
        self.going, self.width = found["Going"], found["Width"]
        self.open_q = found["Edge"]
        self.wall_q = found["Edge"] - found["Width"]
        self.nosing_x = kick_x - found["Overhang"]
        self.tilt = found["Level"] / found["Width"]

    def sides(self):
        tops = [self.height + self.tilt * q for q in (self.open_q, self.wall_q)]
        return min(tops), max(tops)

    def tread(self, outward):
        ends = sorted((outward * self.wall_q, outward * self.open_q))
        return box(self.nosing_x, ends[0], self.kick_x + self.going, ends[1])


def steps(flight):
    """The steps by running sums from the datum."""
    meant = {
        "Rise": flight["rise"],
        "Going": flight["going"],
        "Width": flight["width"],
        "Overhang": flight["overhang"],
        "Edge": flight["edge"],
        "Level": 0.0,
    }
    found = [dict(meant) for _ in range(flight["count"])]
    for reading in flight["readings"]:
        (kind, of), = reading.items()
        down = kind == "Level" and of["high"] == "Wall"
        found[of["step"] - 1][kind] = -of["is"] if down else of["is"]
    # How far the upper floor is drawn does not matter here: no newel reaches a yard beyond it.
    found[-1]["Going"] = 914.4
    kick_x, height, placed = 0.0, 0.0, []
    for number, each in enumerate(found, 1):
        height += each["Rise"]
        placed.append(Step(number, kick_x, height, each))
        kick_x += each["Going"]
    return placed


def sizes(section):
    (kind, of), = section.items()
    return (of["along"], of["across"]) if kind == "Rectangle" else (of, of)


def spots(job, placed):
    """x and step of every baluster that remains."""
    balusters = job["design"]["balusters"]
    spacing = balusters["spacing"]["PerTread"]
    each, width = spacing["count"], sizes(balusters["section"])[0]
    lower, upper = (newel["stands"]["Displaces"] for newel in job["design"]["newels"])
    result = []
    for step in placed[:-1]:
        gap = (step.going - each * width) / each
        for place in range(each):
            taken = step.number < lower["step"] or step.number > upper["step"]
            taken |= step.number == lower["step"] and place < lower["balusters"]
            taken |= step.number == upper["step"] and place >= each - upper["balusters"]
            if not taken:
                x = step.kick_x + spacing["set_back"] + width / 2 + place * (width + gap)
                result.append((x, step))
    return result


def window(case, placed):
    """The bounds on the rail's top, and the ends that it is measured between."""
    low, high = case["rail_low"], case["rail_high"]
    ends = placed[0].nosing_x, placed[-1].nosing_x
    bounds = []
    for step in placed:
        worse_low, worse_high = step.sides()
        bounds.append(
            {
                "s": (step.nosing_x - ends[0]) / (ends[1] - ends[0]),
                "low": None if low is None else worse_high + low,
                "high": None if high is None else worse_low + high,
            }
        )
    return bounds, ends


def rail_checks(case, placed, answer):
    rail = case["job"]["design"]["rail"]
    bounds, ends = window(case, placed)
    top = np.polynomial.Polynomial([answer["rail"]["at_foot"], answer["rail"]["slope"]])
    xs = np.array([step.nosing_x for step in placed])
    sides = np.array([step.sides() for step in placed])
    for name, heights in (("lowest", top(xs) - sides[:, 1]), ("highest", top(xs) - sides[:, 0])):
        least = heights.min() if name == "lowest" else heights.max()
        yield Check(f"rail: {name} height over a nosing", answer["rail"][name], least, LENGTH_MM)
    most = margin(bounds)
    if abs(most) > LENGTH_MM:
        passes = float(answer["rail"]["short"] is None)
        yield Check("rail: a straight rail passes (HiGHS)", passes, float(most > 0), 0.5)
    kept = [heights_margin(bound, top, ends) for bound in bounds]
    if most < -LENGTH_MM:
        short = answer["rail"]["short"]
        yield Check("rail: what the window lacks (HiGHS)", short, -most, LENGTH_MM)
        yield Check("rail: breaks the window least", min(kept), most, LENGTH_MM)
        return
    yield Check("rail: inside its window", min(0.0, min(kept)), 0.0, LENGTH_MM)
    if rail["hold"] == "GreatestMargin":
        yield Check("rail: greatest margin (HiGHS)", min(min(kept), 1e4), most, LENGTH_MM)
        return
    nosings = np.polynomial.Polynomial.fit(xs, [step.height for step in placed], 1)
    wanted = [float(nosings(x)) + rail["height"] for x in ends]
    least = least_movement(bounds, wanted)
    if least is not None:
        moved = max(abs(top(x) - want) for x, want in zip(ends, wanted))
        yield Check("rail: moves least from what was wanted (HiGHS)", moved, least, LENGTH_MM)


def heights_margin(bound, top, ends):
    value = top(ends[0] + bound["s"] * (ends[1] - ends[0]))
    below = np.inf if bound["low"] is None else value - bound["low"]
    above = np.inf if bound["high"] is None else bound["high"] - value
    return min(below, above)


def line_checks(case, placed, answer):
    design = case["job"]["design"]
    balusters = design["balusters"]
    remaining = spots(case["job"], placed)
    xs = np.array([x for x, _ in remaining])
    there = np.array(answer["balusters"])
    yield Check("balusters: how many remain", len(there), len(xs), 0.5)
    if len(there) != len(xs):
        return
    yield Check("balusters: places along the flight", float(abs(there - xs).max()), 0.0, LENGTH_MM)
    ends = placed[0].nosing_x, placed[-1].nosing_x
    at = (xs - ends[0]) / (ends[1] - ends[0])
    half = sizes(balusters["section"])[1] / 2
    reveal = design.get("reveal")
    keep = balusters["peg_diameter"] / 2 + balusters["edge_distance"]
    values = [(s, step.open_q - half - (reveal or 0.0)) for s, (_, step) in zip(at, remaining)]
    bounds = [
        {"s": s, "low": step.wall_q + keep, "high": step.open_q - keep}
        for s, (_, step) in zip(at, remaining)
    ]
    line = np.polynomial.Polynomial([answer["line"]["at_foot"], answer["line"]["slope"]])
    off = np.array([line(x) - value for x, (_, value) in zip(xs, values)])
    reached = (off.max() - off.min()) / 2 if reveal is None else abs(off).max()
    yield Check("baluster line: its worst reveal", answer["line"]["worst"], reached, LENGTH_MM)
    kept = min(heights_margin(bound, line, ends) for bound in bounds)
    least = least_departure(values, reveal is None, bounds)
    if least is None:
        yield Check("baluster line: breaks the pegs' edge least", kept, margin(bounds), LENGTH_MM)
        return
    yield Check("baluster line: pegs keep their edge", min(0.0, kept), 0.0, LENGTH_MM)
    yield Check("baluster line: evenest reveals (HiGHS)", reached, least, LENGTH_MM)


def foot(newel, centre):
    """The ring of a newel's foot: a rectangle, or 16 flats drawn around a round."""
    (kind, _), = newel["section"].items()
    along, across = sizes(newel["section"])
    if kind == "Round":
        turn = (np.arange(ROUND_SIDES) + 0.5) * 2 * np.pi / ROUND_SIDES
        reach = along / 2 / np.cos(np.pi / ROUND_SIDES)
        ring = Polygon(np.stack([reach * np.cos(turn), reach * np.sin(turn)], axis=1))
    else:
        ring = box(-along / 2, -across / 2, along / 2, across / 2)
    twist = float(newel.get("twist", "0 deg").split()[0])
    return translate(rotate(ring, twist, origin=(0, 0)), *centre)


def surface(placed, ring):
    """The step that carries a foot: 0 is the lower floor."""
    low, _, high, _ = ring.bounds
    lowest = sum(step.kick_x <= low for step in placed)
    face = placed[lowest].kick_x if lowest < len(placed) else np.inf
    return lowest + 1 if face - low < BEARING and high > face else lowest


def notch_checks(case, placed, answer):
    outward = 1.0 if case["job"]["flight"]["open_side"] == "Left" else -1.0
    for newel, stood in zip(case["job"]["design"]["newels"], answer["newels"], strict=True):
        ring = foot(newel, stood["centre"])
        stands_on = surface(placed, ring)
        cuts = {notch["step"]: notch for notch in stood["notches"]}
        for step in placed:
            expected = ring.intersection(step.tread(outward))
            wanted = step.number > stands_on and expected.area >= LEAST_NOTCH_MM2
            there = step.number in cuts
            if abs(expected.area - LEAST_NOTCH_MM2) > AREA_MM2 and (wanted or there):
                yield Check("notch: the treads that are cut (GEOS)", there, wanted, 0.5)
            if wanted and there:
                yield from one_notch(cuts[step.number], expected, step, outward)


def one_notch(notch, expected, step, outward):
    ring = Polygon(notch["corners"])
    # Not by cutting the one with the other: where corners differ by 1e-14 GEOS has answered that
    # two like rings have nothing in common (seed 1178594519).
    off = ring.hausdorff_distance(expected)
    yield Check("notch: area (GEOS)", ring.area, expected.area, AREA_MM2)
    yield Check("notch: the same place (GEOS)", off, 0.0, LENGTH_MM)
    yield Check("notch: sides (GEOS)", sum(notch["sides"]), expected.length, LENGTH_MM)
    inside = (len(notch["angles"]) - 2) * np.pi
    yield Check("notch: inside angles", sum(notch["angles"]), inside, ANGLE)
    _, low, deepest, high = expected.bounds
    yield Check("notch: depth from the nosing", notch["depth"], deepest - step.nosing_x, LENGTH_MM)
    innermost = low if outward > 0 else -high
    end = step.open_q - innermost
    yield Check("notch: reach from the open end", notch["from_open_end"], end, LENGTH_MM)


def strip(outward, x, q):
    """A board in plan between two distances up the flight and two offsets across it."""
    ends = sorted(outward * one for one in q)
    return box(x[0], ends[0], x[1], ends[1])


def boards(job, placed, outward):
    """Every kick and open-side skirt in plan: its name, its step, what ends it, and how deep it is
    cut by something that reaches to a place."""
    flight = job["flight"]
    thick = flight["kick_thickness"]
    ends = [step.open_q - (step.kick_x - step.nosing_x) for step in placed]
    for step, end in zip(placed, ends):
        x = step.kick_x, step.kick_x + thick
        kick = strip(outward, x, (step.wall_q, end))
        yield f"K{step.number}", step, kick, end, thick
    outer = min(ends)
    for skirt in job["skirts"]:
        for step in placed[:-1]:
            x = step.kick_x, step.kick_x + step.going
            board = strip(outward, x, (outer - skirt["thickness"], outer))
            yield skirt["name"], step, board, outer, skirt["thickness"]


def cutout_checks(case, placed, answer):
    """Cut-outs of kicks and skirts: the foot's ring cut with each board (GEOS)."""
    job = case["job"]
    outward = 1.0 if job["flight"]["open_side"] == "Left" else -1.0
    for newel, stood in zip(job["design"]["newels"], answer["newels"], strict=True):
        ring = foot(newel, stood["centre"])
        stands_on = surface(placed, ring)
        cuts = {(one["part"], one["step"]): one for one in stood["cutouts"]}
        for name, step, board, end, thick in boards(job, placed, outward):
            expected = ring.intersection(board)
            if abs(expected.area - LEAST_NOTCH_MM2) < AREA_MM2:
                continue
            wanted = step.number > stands_on and expected.area > LEAST_NOTCH_MM2
            there = (name, step.number) in cuts
            yield Check("cut-out: the boards that are cut (GEOS)", there, wanted, 0.5)
            if not (wanted and there):
                continue
            cut = cuts[name, step.number]
            plan = Polygon(cut["plan"])
            yield Check("cut-out: area in plan (GEOS)", plan.area, expected.area, AREA_MM2)
            off = plan.hausdorff_distance(expected)
            yield Check("cut-out: the same place (GEOS)", off, 0.0, LENGTH_MM)
            low_x, low_y, high_x, high_y = expected.bounds
            inner = low_y if outward > 0 else -high_y
            if name.startswith("K"):
                depth, reach = high_x - step.kick_x, end - inner
            else:
                depth, reach = end - inner, high_x - step.kick_x
            yield Check("cut-out: depth", cut["depth"], depth, LENGTH_MM)
            yield Check("cut-out: what remains", cut["remains"], thick - depth, LENGTH_MM)
            yield Check("cut-out: in from the end", cut["from_end"], reach, LENGTH_MM)


def solid(points):
    return manifold3d.Manifold.hull_points(np.array(points))


def volume_checks(case, placed, answer):
    """What the newels leave of each kick (manifold), between the ends that its board is cut to."""
    flight = case["job"]["flight"]
    outward = 1.0 if flight["open_side"] == "Left" else -1.0
    thick, tread = flight["kick_thickness"], flight["tread_thickness"]
    posts = []
    for newel, stood in zip(case["job"]["design"]["newels"], answer["newels"], strict=True):
        if stood["notches"] or stood["cutouts"]:
            ring = list(foot(newel, stood["centre"]).exterior.coords)[:-1]
            heights = stood["foot"], stood["foot"] + newel["height"]
            posts.append(solid([(x, y, z) for x, y in ring for z in heights]))
    for index, step in enumerate(placed):
        below = placed[index - 1] if index else None
        corners = []
        for q in answer["kick_ends"][index]:
            low = 0.0 if below is None else below.height + below.tilt * q - tread
            high = step.height + step.tilt * q - tread
            for x in (step.kick_x, step.kick_x + thick):
                corners += [(x, outward * q, z) for z in (low, high)]
        kick = solid(corners)
        for post in posts:
            kick = kick - post
        yield Check("kick: what is left of it (manifold)", answer["volumes"][index], kick.volume(), VOLUME_MM3)


def checks(case, answer):
    """Everything that is compared for one flight."""
    placed = steps(case["job"]["flight"])
    yield from cutout_checks(case, placed, answer)
    yield from volume_checks(case, placed, answer)
    yield from rail_checks(case, placed, answer)
    yield from line_checks(case, placed, answer)
    yield from notch_checks(case, placed, answer)
