"""Straight lines under limits: the linear programmes behind rail height and baluster line.

A line is its values at both ends, s = 0 and s = 1. The reference is HiGHS, through scipy's
`linprog`. An optimum need not be unique, so only feasibility, the objective reached and the
tie-break's own objective are compared, never which line was taken.

- `nearest`: inside the bounds, the greater of the two end movements least; then least turned.
- `greatest_margin`: the margin greatest (negative where no line is inside).
- `evenest`: the greatest departure from given values least, or half its range.
"""

import numpy as np
from scipy.optimize import linprog

from check import Check

COUNT = 120
# Both solvers keep their rows to 1e-7 or so of numbers up to 4000; ours lets itself 1e-5 mm between
# its first stage and its tie-break. A tape is read to a thousand times that.
LENGTH_MM = 3e-5
# No margin is greater than this, so that bounds on one side only have an answer.
MARGIN_MOST = 1e4
FREE = (None, None)


def solve(cost, rows, limits, free=None):
    """min cost x under rows x <= limits; the least cost, or None where nothing fits."""
    bounds = free or [FREE] * len(cost)
    matrix = np.array(rows).reshape(-1, len(cost))
    found = linprog(cost, A_ub=matrix, b_ub=np.array(limits), bounds=bounds, method="highs")
    if found.status == 2:
        return None
    if found.status != 0:
        raise RuntimeError(f"HiGHS: {found.message}")
    return found.fun


def bound_rows(bounds, width, slack=None):
    """Rows `value(s) <= high` and `-value(s) <= -low`; `slack` is the column a margin stands in,
    with its sign: the bounds give way by that column's value."""
    rows, limits = [], []
    for bound in bounds:
        for sign, limit in ((1, bound["high"]), (-1, bound["low"])):
            if limit is None:
                continue
            row = np.zeros(width)
            row[0], row[1] = sign * (1 - bound["s"]), sign * bound["s"]
            if slack is not None:
                row[slack] = -1
            rows.append(row)
            limits.append(sign * limit)
    return rows, limits


def margin(bounds):
    """The greatest margin inside the bounds."""
    rows, limits = bound_rows(bounds, 3, slack=2)
    return -solve([0, 0, 1], rows, limits, [FREE, FREE, (-MARGIN_MOST, MARGIN_MOST)])


def movement_rows(wanted, width, column):
    rows, limits = [], []
    for end in (0, 1):
        for sign in (1, -1):
            row = np.zeros(width)
            row[end] = sign
            row[column] = -1
            rows.append(row)
            limits.append(sign * wanted[end])
    return rows, limits


def least_movement(bounds, wanted):
    rows, limits = bound_rows(bounds, 3)
    more, others = movement_rows(wanted, 3, 2)
    return solve([0, 0, 1], rows + more, limits + others)


def least_turn(bounds, wanted, movement):
    """The least change of rise from end to end among lines that move no more than `movement`."""
    rows, limits = bound_rows(bounds, 3)
    parallel = wanted[1] - wanted[0]
    rows += [np.array([-1.0, 1.0, -1.0]), np.array([1.0, -1.0, -1.0])]
    limits += [parallel, -parallel]
    held = [(value - movement, value + movement) for value in wanted]
    return solve([0, 0, 1], rows, limits, [*held, FREE])


def least_departure(values, shift_free, bounds):
    """The least greatest departure; with a free shift, of the line shifted anyhow."""
    rows, limits = bound_rows(bounds, 4)
    for s, value in values:
        for sign in (1, -1):
            rows.append(np.array([sign * (1 - s), sign * s, -1.0, sign if shift_free else 0.0]))
            limits.append(sign * value)
    return solve([0, 0, 1, 0], rows, limits)


def least_range(values, bounds, lean):
    """The least range of the reveals where every foot stands within `lean` of the line.

    Unknowns: the line's ends, the least and the greatest reveal, and every foot by itself; a reveal
    is its value (the tread's end, less half the width) less its foot."""
    width = 4 + len(values)
    rows, limits = bound_rows(bounds, width)
    for index, (s, value) in enumerate(values):
        for sign in (1, -1):
            row = np.zeros(width)
            row[0], row[1], row[4 + index] = -sign * (1 - s), -sign * s, sign
            rows.append(row)
            limits.append(lean)
        low, high = np.zeros(width), np.zeros(width)
        low[2], low[4 + index] = 1, 1
        high[3], high[4 + index] = -1, -1
        rows += [low, high]
        limits += [value, -value]
    rows.append(np.concatenate([[0, 0, 1, -1], np.zeros(len(values))]))
    limits.append(0)
    return solve([0, 0, -1, 1] + [0] * len(values), rows, limits)


def breach(line, bounds):
    """How far the worst bound is broken, zero where all are kept."""
    worst = 0.0
    for bound in bounds:
        value = line[0] * (1 - bound["s"]) + line[1] * bound["s"]
        if bound["low"] is not None:
            worst = max(worst, bound["low"] - value)
        if bound["high"] is not None:
            worst = max(worst, value - bound["high"])
    return worst


def departure(line, values, shift_free):
    off = [line[0] * (1 - s) + line[1] * s - value for s, value in values]
    return (max(off) - min(off)) / 2 if shift_free else max(abs(each) for each in off)


def window(rng):
    """Bounds such as nosings give, now and then without one side or impossible to pass."""
    count = int(rng.integers(1, 18))
    places = np.sort(rng.uniform(0, 1, count))
    if rng.random() < 0.7 and count > 1:
        places = np.linspace(0, 1, count) + rng.normal(0, 0.003, count)
    foot, climb = rng.uniform(-500, 500), rng.uniform(0, 3500)
    rough = rng.choice([0.0, 5.0, 40.0])
    middle = foot + climb * places + rng.normal(0, 1, count) * rough
    wide = rng.choice([0.0, 10.0, 50.0, 300.0])
    missing = rng.choice(["none", "low", "high", "some"], p=[0.6, 0.1, 0.1, 0.2])
    bounds = []
    for s, value in zip(places, middle):
        gone = missing if missing != "some" else rng.choice(["none", "low", "high"])
        low = None if gone == "low" else value - wide
        high = None if gone == "high" else value + wide
        bounds.append({"s": float(s), "low": low, "high": high})
    off = rng.choice([0.0, 5.0, 100.0])
    wanted = [foot + rng.normal() * off, foot + climb + rng.normal() * off]
    return bounds, wanted


def cases(rng):
    """The three programmes by turns."""
    result = []
    for index in range(COUNT):
        bounds, wanted = window(rng)
        kind = ("nearest", "greatest_margin", "evenest")[index % 3]
        case = {"kind": kind, "bounds": bounds, "wanted": wanted, "values": [], "shift_free": False}
        if kind == "evenest":
            count = int(rng.integers(2, 40))
            places = np.sort(rng.uniform(0, 1, count))
            heights = np.interp(places, [0, 1], wanted) + rng.normal(0, 8, count)
            case["values"] = np.stack([places, heights], axis=1).tolist()
            case["shift_free"] = bool(rng.random() < 0.5)
            if rng.random() < 0.5:
                # Pegs: bounds at the values' own places.
                keep = rng.uniform(5, 40)
                case["bounds"] = [
                    {"s": s, "low": value - keep, "high": value + keep}
                    for s, value in case["values"]
                ]
        result.append(case)
    return result


def checks(case, answer):
    """Everything that is compared for one programme."""
    bounds, wanted, line = case["bounds"], case["wanted"], answer["line"]
    most = margin(bounds)
    if case["kind"] == "greatest_margin":
        yield Check("greatest margin (HiGHS)", answer["margin"], most, LENGTH_MM)
        kept = -most if most < 0 else 0.0
        yield Check("greatest margin: its line keeps it", breach(line, bounds), kept, LENGTH_MM)
        return
    if abs(most) > LENGTH_MM:
        passes = float(line is not None)
        yield Check(f"{case['kind']}: a line passes (HiGHS)", passes, float(most > 0), 0.5)
    if line is None or most < -LENGTH_MM:
        return
    yield Check(f"{case['kind']}: inside the bounds", breach(line, bounds), 0.0, LENGTH_MM)
    if case["kind"] == "nearest":
        yield from nearest_checks(bounds, wanted, line)
    else:
        values, free = case["values"], case["shift_free"]
        least = least_departure(values, free, bounds)
        if least is not None:
            reached = departure(line, values, free)
            yield Check("evenest: least departure (HiGHS)", reached, least, LENGTH_MM)
            yield Check("evenest: departure reported", answer["worst"], reached, LENGTH_MM)
        if free and least is not None:
            # Feet that go a share of the way to even reveals lean by that share of the departure
            # and leave the rest of twice it; no feet that lean no more do better.
            share = (len(values) % 5) / 4
            reference = least_range(values, bounds, share * least)
            ours = 2 * (1 - share) * answer["worst"]
            yield Check("trade: least range for its lean (HiGHS)", ours, reference, 2 * LENGTH_MM)


def nearest_checks(bounds, wanted, line):
    least = least_movement(bounds, wanted)
    if least is None:
        return
    moved = max(abs(line[end] - wanted[end]) for end in (0, 1))
    yield Check("nearest: least movement (HiGHS)", moved, least, LENGTH_MM)
    turned = abs(line[1] - line[0] - wanted[1] + wanted[0])
    # The tie-break may use the movement that the first stage left it, so its optimum lies between
    # the one with exactly the least movement and the one with our tolerance on top.
    loose = least_turn(bounds, wanted, least + LENGTH_MM)
    tight = least_turn(bounds, wanted, least + LENGTH_MM / 100)
    if loose is not None and tight is not None:
        between = min(max(turned, loose), tight)
        yield Check("nearest: least turn (HiGHS)", turned, between, LENGTH_MM)
