"""The survey's model in our own words: what is expected before reading, how sure each tool is, and
what each reading is a reading of.

Everything is said of a vector of independent standard normal numbers z: a scalar is its meant value
plus its standard deviation times its z; a wall's bow at the places that matter is a square root of
its covariance times its z. Lengths are millimetres; x runs up the flight, q outward to the open
side, z up.
"""

import numpy as np

# Standard deviations about what was meant, as `src/survey/prior.rs` states them.
BEFORE = {
    "rise": 6.0, "going": 6.0, "overhang": 2.0, "thickness": 0.8, "kick_thickness": 0.8,
    "width": 10.0, "edge": 8.0, "level": 4.0, "fall": 2.0, "skew": 4.0, "bed": 0.8, "kick_bed": 0.8,
}  # fmt: skip
FLOOR = 1.0
WALL = {"offset": 100.0, "splay": 0.010, "lean": 0.010}
BOW, BOW_LENGTH = 3.0, 800.0
LANDING = {
    "height": 20.0, "uphill": 0.005, "outward": 0.005, "open": 15.0, "wall": 15.0, "across": 15.0,
    "shift": 15.0,
}  # fmt: skip
ANYWHERE = 3000.0

# Millimetres, as `src/survey/uncertainty.rs` states them.
ROUGH, LINE_SEEN, CORNER_HIT = 0.8, 0.5, 1.0
MARK = 25.4 / 16
# Directive 2014/32/EU, Annex X: a + b L + c, with the hook.
TAPES = {"I": (0.1, 0.1, 0.1), "II": (0.3, 0.2, 0.2), "III": (0.6, 0.4, 0.3)}
# NIST Handbook 44, section 5.52: feet, inches.
HANDBOOK = [(6, 1 / 32), (30, 1 / 16), (55, 1 / 8), (80, 3 / 16), (np.inf, 1 / 4)]
OUTWARD = {"Left": 1.0, "Right": -1.0}


def rectangular(limit):
    return abs(limit) / np.sqrt(3)


def tape_limit(kind, length):
    if kind == "Handbook44":
        return 25.4 * next(inches for feet, inches in HANDBOOK if abs(length) / 304.8 <= feet + 1e-9)
    a, b, c = TAPES[kind]
    return a + b * max(1.0, np.ceil(abs(length) / 1000 - 1e-9)) + c


class Sum:
    """A constant and a weighted sum of named scalars and of bows ("bow", wall, along, up)."""

    def __init__(self, constant=0.0, terms=None):
        self.constant, self.terms = constant, dict(terms or {})

    def __add__(self, other):
        terms = dict(self.terms)
        for name, factor in other.terms.items():
            terms[name] = terms.get(name, 0.0) + factor
        return Sum(self.constant + other.constant, terms)

    def __rmul__(self, factor):
        scaled = {name: factor * of for name, of in self.terms.items()}
        return Sum(factor * self.constant, scaled)

    def __sub__(self, other):
        return self + -1.0 * other


def one(*name):
    return Sum(0.0, {name: 1.0})


class Reading:
    """Parts, the function of them that is read, what was read and how sure that is."""

    def __init__(self, path, parts, value, sd, shape=None):
        self.path, self.parts, self.value, self.sd, self.shape = path, parts, value, sd, shape

    def of(self, values):
        """What would be read where the parts have these values; they may be complex."""
        return values[0] if self.shape is None else self.shape(*values)


def length_of(*parts):
    return np.sqrt(sum(part * part for part in parts))


class Model:
    """A job's unknowns and readings."""

    def __init__(self, job):
        self.job, self.flight = job, job["flight"]
        self.out = OUTWARD[self.flight["open_side"]]
        self.depth = self.flight["going"] + self.flight["overhang"]
        self.tools = {tool["name"]: tool["is"] for tool in job.get("instruments", [])}
        self.lines = {line["name"]: line for line in job.get("lines", [])}
        self.walls = job.get("walls", [])
        self.before = {}
        self.expect()
        self.readings = list(self.all_readings())

    # What is expected.

    def expect(self):
        flight, before = self.flight, self.before
        meant = {name: 0.0 for name in BEFORE}
        for name in ("rise", "going", "overhang", "kick_thickness", "width", "edge"):
            meant[name] = flight[name]
        meant["thickness"] = flight["tread_thickness"]
        for step in range(1, flight["count"] + 1):
            for name, sd in BEFORE.items():
                before["step", step, name] = (meant[name], sd)
        # On the upper floor what lies on the subfloor is its build-up.
        before["step", flight["count"], "thickness"] = (flight.get("floor_above", 0.0), FLOOR)
        for name in ("level", "fall"):
            before["step", 0, name] = (0.0, BEFORE[name])
        for at, _ in enumerate(self.walls):
            for name, sd in WALL.items():
                before["wall", at, name] = (0.0, sd)
        for at, floor in enumerate(self.job.get("floors", [])):
            if "Landing" in floor["is"]:
                self.expect_landing(at, floor["is"]["Landing"])
        for line in self.lines.values():
            self.expect_line(line)

    def expect_landing(self, at, landing):
        long = abs(landing["to"]["x"] - landing["from"]["x"])
        wide = abs(landing["to"]["y"] - landing["from"]["y"])
        meant = {"height": landing["height"], "open": long, "wall": long, "across": wide}
        for name, sd in LANDING.items():
            self.before["landing", at, name] = (meant.get(name, 0.0), sd)

    def expect_line(self, line):
        (kind, of), = line["runs"].items()
        tool = self.tools.get(line.get("by"), {"Laser": {}})
        slope = 0.0
        for name in ("Laser", "Level"):
            if name in tool:
                slope = self.per_length(tool[name], 0.3 if name == "Laser" else 0.5)
        place = of.get({"Level": "height", "Across": "x", "Beside": "off"}[kind])

        def setting(distance):
            if "Scanner" in tool:
                return rectangular(tool["Scanner"].get("off", 2.0))
            return self.tape({}, distance)

        mean, sd = (0.0, ANYWHERE) if place is None else (place, setting(place))
        run = slope
        if kind == "Across":
            run = BEFORE["skew"] / self.flight["width"]
        if kind == "Beside":
            wall = next(wall for wall in self.walls if wall["name"] == of["wall"])
            run = setting(place or 0.0) * np.sqrt(2) / self.long(wall)
        name = line["name"]
        self.before["line", name, "place"] = (mean, sd)
        self.before["line", name, "run"] = (0.0, run)
        self.before["line", name, "cross"] = (0.0, slope)

    # How sure a reading is.

    def per_length(self, tool, off):
        return rectangular(tool.get("off", off) / tool.get("over", 1000.0))

    def tape(self, tool, length):
        mark = tool.get("mark", MARK)
        limit = tape_limit(tool.get("class", "II"), length)
        return np.hypot(rectangular(limit), rectangular(mark / 2))

    def sure(self, of, usual, reach, value, more=0.0):
        """`usual` is the tool where none is named; `reach` the length that levels run over."""
        if "sd" in of and usual != "Slope":
            return of["sd"]
        (kind, tool), = self.tools.get(of.get("by"), {usual: {}}).items()
        mark = rectangular(MARK / 2)
        if kind == "Tape":
            own = self.tape(tool, value if reach is None else reach)
        elif kind in ("Level", "Laser"):
            slope = self.per_length(tool, 0.5 if kind == "Level" else 0.3)
            own = np.hypot(slope * (value if reach is None else reach), mark)
        elif kind == "Straightedge":
            own = np.hypot(rectangular(tool.get("off", 0.3)), mark)
        elif kind == "Slope":
            off = float(tool.get("off", "0.1 deg").split()[0])
            own = np.radians(np.hypot(rectangular(off), rectangular(0.05)))
        else:
            own = rectangular(tool.get("off", 2.0))
        rough = ROUGH if of.get("on") == "Rough" else 0.0
        return float(np.sqrt(own**2 + more**2 + rough**2))

    # Places on the stair.

    def height(self, step, q, on):
        """A tread's surface at its kick's face."""
        level = q / self.flight["width"] * one("step", step, "level")
        if step == 0:
            under = self.flight.get("floor_below", 0.0) if on == "Rough" else 0.0
            return level - Sum(under)
        total = level
        for below in range(1, step + 1):
            total = total + one("step", below, "rise")
        is_floor = step == self.flight["count"]
        if on != "Finished" and not is_floor:
            total = total - one("step", step, "bed")
        if on == "Rough":
            total = total - one("step", step, "thickness")
        return total

    def kick(self, step, q, on):
        total = q / self.flight["width"] * one("step", step, "skew")
        for below in range(1, step):
            total = total + one("step", below, "going")
        if on != "Finished":
            total = total + one("step", step, "kick_bed")
        if on == "Rough":
            total = total + one("step", step, "kick_thickness")
        return total

    def nosing(self, step, q):
        """x and z of a nosing."""
        x = self.kick(step, q, "Finished") - one("step", step, "overhang")
        front = self.flight["overhang"] / self.depth
        return x, self.height(step, q, "Finished") + front * one("step", step, "fall")

    def nosing_end(self, end):
        q = self.q(end["end"])
        x, z = self.nosing(end["step"], q)
        out = one("step", end["step"], "edge")
        if end["end"] == "Wall":
            out = out - one("step", end["step"], "width")
        return x, out, z

    def q(self, side):
        """Meant place across the flight."""
        if isinstance(side, dict):
            board = next(one for one in self.job["stringers"] if one["name"] == side["Stringer"])
            return -(board["inset"] + board["thickness"] / 2)
        edge, width = self.flight["edge"], self.flight["width"]
        return {"Line": 0.0, "Open": edge, "Wall": edge - width}[side]

    def line(self, name, run, cross):
        """A laser line's place, so far along it and across it (or up)."""
        about = (0.0, 0.0)
        beside = self.lines[name]["runs"].get("Beside")
        if beside:
            wall = next(wall for wall in self.walls if wall["name"] == beside["wall"])
            about = (self.long(wall) / 2, wall.get("foot", 0.0))
        return (
            one("line", name, "place")
            + (run - about[0]) * one("line", name, "run")
            + (cross - about[1]) * one("line", name, "cross")
        )

    # Places on walls.

    @staticmethod
    def plan(wall):
        start = np.array([wall["from"]["x"], wall["from"]["y"]])
        way = np.array([wall["to"]["x"], wall["to"]["y"]]) - start
        long = float(np.hypot(*way))
        way = way / long
        return start, way, np.array([-way[1], way[0]]), long

    def long(self, wall):
        return self.plan(wall)[3]

    def plane(self, at, along, up):
        wall = self.walls[at]
        return (
            one("wall", at, "offset")
            + (along - self.long(wall) / 2) * one("wall", at, "splay")
            + (up - wall.get("foot", 0.0)) * one("wall", at, "lean")
        )

    def face(self, at, along, up):
        return self.plane(at, along, up) + one("bow", at, along, up)

    def number(self, name):
        return next(at for at, wall in enumerate(self.walls) if wall["name"] == name)

    def between(self, at, along, up, other):
        """Square off the meant face to the other wall: where the ray meets the other's face moves
        by its offset over the cosine between the two."""
        start, way, room, _ = self.plan(self.walls[at])
        there, there_way, there_room, _ = self.plan(self.walls[other])
        origin = start + along * way
        # origin + t room lies on the other face.
        t, s = np.linalg.solve(np.stack([room, -there_way], axis=1), there - origin)
        cosine = float(there_room @ room)
        far = 1 / cosine * self.face(other, float(s), up)
        return Sum(float(t)) + far - self.face(at, along, up)

    def corner(self, at, up, legs, other):
        """The diagonal between marks on both legs from where the meant faces meet."""
        plans = [self.plan(self.walls[number]) for number in (at, other)]
        (a, a_way, _, _), (b, b_way, _, _) = plans
        s, _ = np.linalg.solve(np.stack([a_way, -b_way], axis=1), b - a)
        met = a + s * a_way
        turns, ways = [], []
        for number, (start, way, _, long), leg in zip((at, other), plans, legs, strict=True):
            reach = float((met - start) @ way)
            sign = 1.0 if reach < long / 2 else -1.0
            # How far the leg's end stands into the room over its corner, left of the wall's way.
            moved = self.face(number, reach + sign * leg, up) - self.face(number, reach, up)
            ways.append(sign * way)
            turns.append(sign / leg * moved)
        cross = ways[0][0] * ways[1][1] - ways[0][1] * ways[1][0]
        meant = np.arctan2(cross, ways[0] @ ways[1])
        opened = np.sign(meant) * (turns[1] - turns[0])

        def third(turn):
            one_leg, other_leg = legs
            cosine = np.cos(abs(meant) + turn)
            return np.sqrt(one_leg**2 + other_leg**2 - 2 * one_leg * other_leg * cosine)

        return opened, third

    # Readings.

    def all_readings(self):
        for at, reading in enumerate(self.flight.get("readings", [])):
            yield self.step_reading(f"flight.readings[{at}]", *next(iter(reading.items())))
        for wall, of in enumerate(self.walls):
            for at, reading in enumerate(of.get("readings", [])):
                path = f"walls[{wall}].readings[{at}]"
                yield self.wall_reading(path, wall, *next(iter(reading.items())))
        for floor, of in enumerate(self.job.get("floors", [])):
            for at, reading in enumerate(of.get("readings", [])):
                path = f"floors[{floor}].readings[{at}]"
                yield self.floor_reading(path, floor, of["is"], *next(iter(reading.items())))

    def step_reading(self, path, kind, of):
        on, q = of.get("on", "Finished"), self.q(of.get("side", "Line"))
        step, flight, last = of.get("step"), self.flight, self.flight["count"]
        if kind == "Pitch":
            (x0, z0), (x1, z1) = self.nosing(of["from"], q), self.nosing(of["to"], q)
            value = float(np.radians(float(of["is"].split()[0])))
            sd = self.sure(of, "Slope", None, value)
            return Reading(path, [z1 - z0, x1 - x0], value, sd, lambda z, x: np.arctan(z / x))
        value = of["is"]
        if kind == "Diagonal":
            ends = self.nosing_end(of["from"]), self.nosing_end(of["to"])
            parts = [there - here for here, there in zip(*ends, strict=True)]
            sd = self.sure(of, "Tape", None, value, CORNER_HIT)
            return Reading(path, parts, value, sd, length_of)
        if kind in ("Under", "Past"):
            sd = self.sure(of, "Laser", 0.0, value, LINE_SEEN)
            if kind == "Under":
                # On the middle of the tread.
                x = flight["going"] * max(step - 1, 0) + self.depth / 2
                part = self.line(of["line"], x, q) - self.height(step, q, on)
            else:
                # Near the kick's foot.
                part = self.kick(step, q, on) - self.line(of["line"], q, flight["rise"] * (step - 1))
            return Reading(path, [part], value, sd)
        if kind in ("Level", "Fall"):
            sd = self.sure(of, "Level", flight["width"] if kind == "Level" else self.depth, value)
            # Level is the open end over the wall end, fall the front over the back.
            up = of.get("high") == "Open" or of.get("low") == "Back"
            part = (1.0 if up else -1.0) * one("step", step, kind.lower())
            return Reading(path, [part], value, sd)
        sd = self.sure(of, "Tape", None, value)
        plain = {
            "Width": "width", "Overhang": "overhang", "TreadThickness": "thickness",
            "KickThickness": "kick_thickness", "Edge": "edge",
        }  # fmt: skip
        if kind in plain:
            return Reading(path, [one("step", step, plain[kind])], value, sd)
        pairs = {
            "Rise": lambda: (self.height, step, step - 1),
            "Height": lambda: (self.height, step, of["above"]),
            "TotalRise": lambda: (self.height, last, 0),
            "Going": lambda: (self.kick, step + 1, step),
            "Run": lambda: (self.kick, step, of["beyond"]),
            "TotalRun": lambda: (self.kick, last, 1),
        }
        place, to, start = pairs[kind]()
        return Reading(path, [place(to, q, on) - place(start, q, on)], value, sd)

    def wall_reading(self, path, at, kind, of):
        value, up = of["gap"] if kind == "Plumb" else of["is"], of["up"]
        if kind == "Offset":
            face = self.face(at, of["along"], up)
            foot = self.walls[at].get("foot", 0.0)
            if of.get("line") is None:
                sd = self.sure(of, "Laser", abs(up - foot), value, LINE_SEEN)
                return Reading(path, [face], value, sd)
            sd = self.sure(of, "Laser", 0.0, value, LINE_SEEN)
            return Reading(path, [self.line(of["line"], of["along"], up) - face], value, sd)
        if kind == "Plumb":
            ends = (up, up + of["level"])
            off, touching = ends if of["at"] == "Bottom" else ends[::-1]
            more = 0.0
            if of.get("touch") is None:
                # It touches somewhere on half of its length, and there the bow may differ.
                share = np.exp(-0.5 * (of["level"] / 2 / BOW_LENGTH) ** 2)
                more = BOW * np.sqrt(1 - share)
            else:
                touching = up + of["touch"]
            part = self.face(at, of["along"], touching) - self.face(at, of["along"], off)
            sd = np.hypot(self.sure(of, "Level", of["level"], value), more)
            return Reading(path, [part], value, float(sd))
        if kind == "Straight":
            way = (0.0, 1.0) if of.get("lies") == "Upright" else (1.0, 0.0)
            low, middle, high = (
                self.face(at, of["along"] + share * of["length"] * way[0], up + share * of["length"] * way[1])
                for share in (0.0, 0.5, 1.0)
            )
            sd = self.sure(of, "Straightedge", None, value)
            return Reading(path, [0.5 * (low + high) - middle], value, sd)
        sd = self.sure(of, "Tape", None, value)
        if kind == "Between":
            part = self.between(at, of["along"], up, self.number(of["wall"]))
            return Reading(path, [part], value, sd)
        legs = (of["leg"], of["other_leg"])
        part, third = self.corner(at, up, legs, self.number(of["wall"]))
        # The marks are taped as well.
        return Reading(path, [part], value, float(np.hypot(sd, self.tape({}, max(legs)))), third)

    def slopes(self, at, kind):
        """Climb uphill and outward."""
        if "Landing" in kind:
            return one("landing", at, "uphill"), one("landing", at, "outward")
        step = 0 if kind == "Lower" else self.flight["count"]
        uphill = -1 / self.depth * one("step", step, "fall")
        return uphill, 1 / self.flight["width"] * one("step", step, "level")

    def floor_reading(self, path, at, kind, reading, of):
        value = of["is"]
        part = lambda name: one("landing", at, name)  # noqa: E731
        if reading == "Level":
            uphill, outward = self.slopes(at, kind)
            way = {"Uphill": uphill, "Downhill": -1 * uphill, "Open": outward, "Wall": -1 * outward}
            sd = self.sure(of, "Level", of["over"], value)
            return Reading(path, [of["over"] * way[of["high"]]], value, sd)
        if reading == "Under":
            x, q = of["x"], self.out * of["y"]
            uphill, outward = self.slopes(at, kind)
            on = of.get("on", "Finished")
            if kind == "Lower":
                surface = self.height(0, q, on) + x * uphill
            elif kind == "Upper":
                last = self.flight["count"]
                beyond = x - (last - 1) * self.flight["going"]
                surface = self.height(last, q, on) + beyond * uphill
            else:
                ends = kind["Landing"]["from"], kind["Landing"]["to"]
                middle = [sum(end[axis] for end in ends) / 2 for axis in "xy"]
                off = (x - middle[0]) * uphill + (q - self.out * middle[1]) * outward
                surface = part("height") + off
            sd = self.sure(of, "Laser", 0.0, value, LINE_SEEN)
            return Reading(path, [self.line(of["line"], x, q) - surface], value, sd)
        # Corners in plan: (0, 0), (open, 0) on the open edge, (shift, -across), (shift + wall,
        # -across) on the wall edge.
        corners = {
            ("Downhill", "Open"): (Sum(), Sum()),
            ("Uphill", "Open"): (part("open"), Sum()),
            ("Downhill", "Wall"): (part("shift"), part("across")),
            ("Uphill", "Wall"): (part("shift") + part("wall"), part("across")),
        }
        if reading == "Edge":
            sd = self.sure(of, "Tape", None, value)
            edge = of["edge"]
            if edge in ("Open", "Wall"):
                return Reading(path, [part(edge.lower())], value, sd)
            ends = corners[edge, "Open"], corners[edge, "Wall"]
        else:
            sd = self.sure(of, "Tape", None, value, CORNER_HIT)
            far = "Wall" if of["from"] == "Open" else "Open"
            ends = corners["Downhill", of["from"]], corners["Uphill", far]
        parts = [there - here for here, there in zip(*ends, strict=True)]
        return Reading(path, parts, value, sd, length_of)
