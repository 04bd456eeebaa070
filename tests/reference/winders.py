"""Winders as they are cut: outlines held against shapely, full-size drawings against svgpathtools.

Random turns of a quarter between two flights: kites round a newel, treads round a square well, treads
between a round well and a round wall; to either hand, some with kicks read off their places and treads
out of level. Here a tread is made as a region of the plane and not side by side as ours is: what lies
between the walls and the newel or well, up the stair of its nosing's line and down the stair of the
next kick's (GEOS, through shapely). Its corners are then lifted onto the tread's plane, and lengths,
angles and tilts taken with numpy. Round sides are compared with r times the angle.

Closed forms: the inside angles of a straight-sided outline of n corners add up to (n - 2) 180.
"""

import numpy as np
import svgpathtools
from shapely.geometry import LineString, Polygon
from shapely.geometry.polygon import orient

from check import Check

COUNT = 16
LENGTH_MM = 1e-5
DEGREES = 1e-6
# Angles at a round side are those of its tangent; GEOS has chords there.
FAR = 4000.0
SVG_MM = 0.01
# Area of a round side in chords of two degrees: short of the round by r^2/2 (a - sin a) each.
ROUND_SHARE = 3e-4


def one_case(rng, at):
    """A turn, and what is read of it."""
    kind = ("kite", "square", "round")[at % 3]
    count = int(rng.integers(2, 5))
    hand = "Left" if rng.random() < 0.5 else "Right"
    narrow = float(rng.uniform(50, 75) if kind == "kite" else rng.uniform(120, 200))
    width = float(rng.uniform(720, 900))
    crooked = at >= 3 and kind != "round"
    wide = narrow + width
    readings = []
    if crooked:
        for kick in range(2, count + 1):
            share = (kick - 1) / count
            # Stations along a quarter of a square: two half sides.
            for name, off in (("Narrow", narrow), ("Wide", wide)):
                place = 2 * off * share + float(rng.normal(0, 0.02 * off))
                readings.append({name: {"step": kick, "is": place}})
        for step in range(1, count + 1):
            end = "Wide" if rng.random() < 0.5 else "Narrow"
            readings.append({"Level": {"step": step, "is": float(rng.uniform(0, 12)), "high": end}})
    kinds = {
        "kite": {"Kite": {"newel": 2 * narrow}},
        "square": {"Tapered": {"well": {"Square": 2 * narrow}, "outer": "Corner"}},
        "round": {"Tapered": {"well": {"Round": narrow}, "outer": "Round"}},
    }
    overhang = float(rng.uniform(10, 30))
    winders = {
        "turns": hand, "count": count, "kind": kinds[kind], "width": width, "rise": 190, "overhang": overhang,
        "tread_thickness": 25, "kick_thickness": 12, "readings": readings,
    }  # fmt: skip
    flight = {
        "open_side": hand, "count": 5, "rise": 190, "going": 250, "width": 900, "overhang": 20,
        "tread_thickness": 25, "kick_thickness": 12, "edge": 60, "readings": [],
    }  # fmt: skip
    newel = lambda name, stands: {"name": name, "section": {"Square": 90}, "stands": stands, "height": 1300}  # noqa: E731
    on_step = lambda step, over: {"Displaces": {"step": step, "balusters": over}}  # noqa: E731
    rail = lambda name, low, high: {  # noqa: E731
        "name": name, "width": 60, "depth": 60, "height": 930, "lower": {"Newel": low}, "upper": {"Newel": high},
    }  # fmt: skip
    balusters = {
        "section": {"Square": 35}, "spacing": {"PerTread": {"count": 2}}, "peg": 20, "peg_diameter": 16, "seat": 12,
        "edge_distance": 5,
    }  # fmt: skip
    design = lambda newels, made: {"rules": "uk-private-2013", "newels": newels, "rail": made, "balusters": balusters}  # noqa: E731
    corner = newel("N2", {"At": {"x": 1000, "y": 0}})
    job = {
        "format": 1, "units": "Millimetres", "flight": flight,
        "design": design([newel("N1", on_step(1, 1)), corner], rail("R1", "N1", "N2")),
        "runs": [
            {"name": "W", "starts": {"past": 0, "left": 0}, "winders": winders},
            {"name": "2", "starts": {"past": 0, "left": 0}, "flight": flight,
             "design": design([newel("N3", on_step(4, 0))], rail("R2", "N2", "N3"))},
        ],
    }  # fmt: skip
    return {"job": job, "kind": kind, "narrow": narrow, "wide": wide, "count": count, "hand": hand,
            "overhang": overhang, "readings": readings}  # fmt: skip


def cases(rng):
    return [one_case(rng, at) for at in range(COUNT)]


def path(kind, off, sign):
    """A side round the turn, as places by their distance from where the turn begins."""
    if kind == "round":
        return lambda s: off * np.array([np.sin(s / off), -sign * np.cos(s / off)])
    begins, corner, ends = np.array([0, -sign * off]), np.array([off, -sign * off]), np.array([off, 0.0])
    line = LineString([begins, corner, ends])
    return lambda s: np.array(line.interpolate(s).coords[0])


def kicks(case, sign):
    """Both ends of every kick: at even angles from the centre, or where they were read."""
    half = np.pi / 2
    read = {}
    for one in case["readings"]:
        for name in ("Narrow", "Wide"):
            if name in one:
                read[name, one[name]["step"]] = one[name]["is"]
    sides = {"Narrow": case["narrow"], "Wide": case["wide"]}
    found = []
    for at in range(case["count"] + 1):
        angle = half * at / case["count"]
        way = np.array([np.sin(angle), -sign * np.cos(angle)])
        ends = []
        for name, off in sides.items():
            square = off / max(abs(way[0]), abs(way[1])) if case["kind"] != "round" else off
            station = read.get((name, at + 1))
            ends.append(way * square if station is None else path(case["kind"], off, sign)(station))
        found.append(ends)
    return found


def half_plane(at, way, up):
    """All that lies on the `up` side of a line."""
    a, b = at - way * FAR, at + way * FAR
    return Polygon([a, b, b + up * FAR, a + up * FAR])


def band(case, sign):
    """What lies between the newel or well and the walls, with the flights before and after."""
    if case["kind"] == "round":
        steps = np.linspace(0, np.pi / 2, 2001)
        arc = lambda off: [off * np.array([np.sin(t), -sign * np.cos(t)]) for t in steps]  # noqa: E731
        def region(off):
            out = arc(off)
            before = [np.array([-FAR / 2, -sign * off])]
            after = [np.array([off, sign * FAR / 2])]
            return Polygon([np.array([-FAR / 2, sign * FAR / 2]), *before, *out, *after])
    else:
        def region(off):
            return Polygon([[-FAR / 2, sign * FAR / 2], [-FAR / 2, -sign * off], [off, -sign * off], [off, sign * FAR / 2]])
    return region(case["wide"]).difference(region(case["narrow"]))


def unit(way):
    return way / np.linalg.norm(way)


class Expected:
    """A tread's outline from regions of the plane, lifted onto its own plane."""

    def __init__(self, case, number):
        sign = 1.0 if case["hand"] == "Left" else -1.0
        faces = kicks(case, sign)
        own, following = faces[number - 1], faces[number]
        self.way, self.next = unit(own[1] - own[0]), unit(following[1] - following[0])
        up = lambda way: np.array([-way[1], way[0]]) * sign  # noqa: E731
        self.nosing = own[0] - up(self.way) * case["overhang"]
        region = band(case, sign)
        region = region.intersection(half_plane(self.nosing, self.way, up(self.way)))
        region = region.intersection(half_plane(following[0], self.next, -up(self.next)))
        # Of what the two lines leave, the part between them.
        middle = (own[0] + own[1] + following[0] + following[1]) / 4
        parts = getattr(region, "geoms", [region])
        part = min(parts, key=lambda one: one.distance(LineString([middle, middle + 1e-9])))
        part = orient(part.simplify(1e-9), 1.0)
        ring = np.array(part.exterior.coords)[:-1]
        self.area = part.area
        level = 0.0
        for one in case["readings"]:
            if "Level" in one and one["Level"]["step"] == number:
                level += one["Level"]["is"] * (1 if one["Level"]["high"] == "Wide" else -1)
        out = unit(self.way + self.next)
        self.climb = out * level / (case["wide"] - case["narrow"])
        on_nosing = [i for i, p in enumerate(ring) if abs(np.dot(p - self.nosing, up(self.way))) < 1e-6]
        # Anticlockwise the nosing runs from its left end; the other one comes right after it.
        start = next(i for i in on_nosing if (i + 1) % len(ring) in on_nosing)
        self.flat = np.roll(ring, -start, axis=0)
        self.points = np.array([[*p, np.dot(self.climb, p)] for p in self.flat])
        self.up = unit(np.array([-self.climb[0], -self.climb[1], 1.0]))

    def sides(self):
        """Length, inside angle at the start, tilt (positive under the show face), place by the nosing."""
        count = len(self.points)
        ways = [self.points[(i + 1) % count] - self.points[i] for i in range(count)]
        along = unit(ways[0])
        back = np.cross(self.up, along)
        for i, way in enumerate(ways):
            before = ways[i - 1]
            turned = np.arctan2(np.dot(np.cross(before, way), self.up), np.dot(before, way))
            out = unit(np.array([way[1], -way[0], 0.0]))
            place = self.points[i] - self.points[0]
            yield {
                "length": np.linalg.norm(way),
                "corner": 180 - np.degrees(turned),
                "tilt": 0.0 if i == 0 else -np.degrees(np.arcsin(np.dot(out, self.up))),
                "along": np.dot(place, along),
                "back": np.dot(place, back),
            }

    def true_area(self):
        return self.area / self.up[2]

    def extent(self):
        found = list(self.sides())
        along = [one["along"] for one in found]
        return max(along) - min(along), max(one["back"] for one in found), min(along)


def straight_checks(expected, tread):
    """Sides, corners, tilts and places of an outline of straight sides."""
    found = list(expected.sides())
    yield Check("sides of a winder (shapely)", len(tread["sides"]), len(found), 0.5)
    for ours, wanted in zip(tread["sides"], found, strict=False):
        yield Check("a winder's side (shapely)", ours["length_mm"], wanted["length"], LENGTH_MM)
        yield Check("a winder's corner (shapely)", ours["corner_deg"], wanted["corner"], DEGREES)
        tilt = ours["bevel_deg"] * (-1 if ours["bevel_long"] == "hidden" else 1)
        # A tilt that no saw can be set to has no long side.
        sign = tilt if ours["bevel_long"] else abs(wanted["tilt"])
        yield Check("a winder's tilt (numpy)", sign, wanted["tilt"] if ours["bevel_long"] else abs(tilt), DEGREES)
        yield Check("a corner along the nosing (shapely)", ours["along_mm"], wanted["along"], LENGTH_MM)
        yield Check("a corner back from the nosing (shapely)", ours["back_mm"], wanted["back"], LENGTH_MM)
        mitre = abs(abs(180 - wanted["corner"]) - 90)
        yield Check("the saw at a corner", ours["mitre_deg"], mitre, DEGREES)
    total = sum(one["corner_deg"] for one in tread["sides"])
    yield Check("angles of an outline add up", total, (len(tread["sides"]) - 2) * 180, DEGREES)
    long, deep, begins = expected.extent()
    yield Check("the rectangle, along the nosing (shapely)", tread["bounds_mm"][0], long, LENGTH_MM)
    yield Check("the rectangle, square to it (shapely)", tread["bounds_mm"][1], deep, LENGTH_MM)
    yield Check("where the rectangle begins (shapely)", tread["begins_mm"], begins, LENGTH_MM)


def round_checks(case, tread):
    """Round sides by the angles of the kicks at their ends: the chord's sine gives the angle."""
    for side in tread["sides"]:
        radius = {"narrow-end": case["narrow"], "wide-end": case["wide"]}.get(side["edge"])
        if radius is None or side["radius_mm"] is None:
            continue
        yield Check("a round side's radius", side["radius_mm"], radius, LENGTH_MM)
        angle = 2 * np.arcsin(side["chord_mm"] / 2 / radius)
        yield Check("a round side, r times the angle", side["length_mm"], radius * angle, LENGTH_MM)


def svg_checks(tread, template):
    """Every corner lies in the drawing at its true place."""
    paths, _ = svgpathtools.svgstr2paths(template["svg"])
    ends = [(piece.start, piece.end) for one in paths for piece in one]
    spots = np.array([[p.real, p.imag] for pair in ends for p in pair])
    x, y = template["svg_origin_mm"]
    for side in tread["sides"]:
        place = np.array([x + side["along_mm"], y - side["back_mm"]])
        off = np.linalg.norm(spots - place, axis=1).min()
        yield Check("a winder's corner in the SVG (svgpathtools)", off, 0.0, SVG_MM)


def kick_checks(case, answer):
    """A kick on level treads, from the region between its two faces."""
    if case["kind"] == "round" or any("Level" in one for one in case["readings"]):
        return
    sign = 1.0 if case["hand"] == "Left" else -1.0
    faces = kicks(case, sign)
    for number in range(2, case["count"] + 1):
        own = faces[number - 1]
        way = unit(own[1] - own[0])
        up = np.array([-way[1], way[0]]) * sign
        strip = band(case, sign).intersection(half_plane(own[0], way, up))
        strip = strip.intersection(half_plane(own[0] + up * 12, way, -up))
        middle = (own[0] + own[1]) / 2 + up * 6
        parts = getattr(strip, "geoms", [strip])
        part = min(parts, key=lambda one: one.distance(LineString([middle, middle + 1e-9])))
        ring = np.array(orient(part.simplify(1e-9), 1.0).exterior.coords)[:-1]
        if len(ring) != 4:
            continue
        along = ring @ way
        ours = answer["kicks"][f"W.K{number}"]
        yield Check("a kick's long points (shapely)", ours["long_mm"], along.max() - along.min(), LENGTH_MM)
        yield Check("a kick's face (shapely)", ours["bottom_mm"], np.linalg.norm(own[1] - own[0]), LENGTH_MM)
        yield Check("a kick's height, by its rise", ours["height_mm"], 190.0, LENGTH_MM)


def checks(case, answer):
    for number in range(1, case["count"] + 1):
        tread = answer["treads"][f"W.T{number}"]
        expected = Expected(case, number)
        if case["kind"] == "round":
            share = tread["area_mm2"] / expected.true_area()
            yield Check("area of a round winder (shapely), a share", share, 1.0, ROUND_SHARE)
            yield from round_checks(case, tread)
        else:
            share = tread["area_mm2"] / expected.true_area()
            yield Check("area of a winder (shapely), a share", share, 1.0, 1e-9)
            yield from straight_checks(expected, tread)
        yield from svg_checks(tread, answer["templates"][f"W.T{number}"])
    yield from kick_checks(case, answer)
