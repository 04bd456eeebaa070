"""Boards cut into pieces, held against the optimum of HiGHS (scipy's `milp`).

Our side cuts random pieces from random stock, and three instances from textbooks, given from memory:

- V. Chvatal, Linear Programming (1983), chapter 13: raws of 100 in, 97, 610, 395 and 211 finals of
  45, 36, 31 and 14 in; the programme over fractions comes to 452.25, whole raws to 453.
- The example of many texts on the web (paper rolls): 5600 mm wide, thirteen widths of 1380 to 2200 mm;
  73 rolls are the optimum.
- P. C. Gilmore and R. E. Gomory (1961): stock 5, 6 and 9 long at 6, 7 and 10; 20 pieces of 2, 10 of 3,
  20 of 4.

Here the optimum is worked out in another way than ours, without patterns: as least-cost flow through
the places of a board (J. M. Valerio de Carvalho 1999), one graph for each clear stretch of board. Lengths
on no common grid have no such graph: there all fillings of every stretch are listed, each with its exact
length, and HiGHS chooses among them. Every
board that our side tells is checked piece by piece; and spares against scipy's binomial distribution.
"""

import numpy as np
from scipy import sparse
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.stats import binom

from check import Check

COUNT = 14
OFF_GRID = 10
LENGTH_MM = 1e-5
COST = 1e-6
CELL = 5.0

TEXTBOOKS = [
    {
        "what": "Chvatal 1983, chapter 13",
        "pieces": [[45, 97, None], [36, 610, None], [31, 395, None], [14, 211, None]],
        "stock": [{"length": 100, "price": 1, "count": None, "defects": []}],
        "kerf": 0, "trim": 0, "cell": 1, "best": 453,
    },
    {
        "what": "paper rolls",
        "pieces": [
            [width, count, None]
            for width, count in [
                (1380, 22), (1520, 25), (1560, 12), (1710, 14), (1820, 18), (1880, 18), (1930, 20),
                (2000, 10), (2050, 12), (2100, 14), (2140, 16), (2150, 18), (2200, 20),
            ]
        ],
        "stock": [{"length": 5600, "price": 1, "count": None, "defects": []}],
        "kerf": 0, "trim": 0, "cell": 10, "best": 73,
    },
    {
        "what": "Gilmore and Gomory 1961",
        "pieces": [[2, 20, None], [3, 10, None], [4, 20, None]],
        "stock": [
            {"length": length, "price": price, "count": None, "defects": []}
            for length, price in [(5, 6), (6, 7), (9, 10)]
        ],
        "kerf": 0, "trim": 0, "cell": 1, "best": 170,
    },
]


def one_case(rng):
    cell = CELL
    kerf = float(rng.choice([0, 1, 2])) * cell / 2
    trim = float(rng.choice([0, 2, 5])) * cell
    lengths = sorted(rng.choice(np.arange(300, 900, 60), int(rng.integers(1, 4)), replace=False))
    priced = rng.random() < 0.7
    stock = []
    for length in lengths:
        price = None
        if priced:
            price = round(float(length * rng.uniform(0.03, 0.05)), 2)
        count = None if length == lengths[-1] or rng.random() < 0.6 else int(rng.integers(1, 4))
        stock.append({"length": float(length), "price": price, "count": count, "defects": []})
    if rng.random() < 0.4:
        length = float(lengths[-1])
        begins = np.sort(rng.choice(np.arange(8, int(length / cell) - 8), 2, replace=False)) * cell
        defects = [[float(at), float(at + cell * rng.integers(1, 4))] for at in begins]
        price = stock[-1]["price"]
        stock.append({"length": length, "price": None if price is None else round(price / 3, 2),
                      "count": None, "defects": defects})
    room = float(lengths[-1]) - 2 * trim
    pieces = []
    for _ in range(int(rng.integers(3, 10))):
        long = float(rng.integers(int(0.08 * room / cell), int(0.7 * room / cell))) * cell
        pieces.append([long, int(rng.integers(1, 6)), None])
    if rng.random() < 0.4:
        for part in range(int(rng.integers(2, 4))):
            pieces.append([float(rng.integers(4, int(0.25 * room / cell))) * cell, 1, "g"])
    return {"what": "random", "pieces": pieces, "stock": stock, "kerf": kerf, "trim": trim,
            "cell": cell / 2, "best": None}


def off_grid(rng):
    """Pieces, boards, kerf and defects of lengths with nothing in common, to a millionth of a mm."""
    long = lambda low, high: round(float(rng.uniform(low, high)), 6)
    kerf, trim = long(0.5, 4.0), long(0.0, 15.0)
    boards = sorted(long(1500, 5000) for _ in range(int(rng.integers(1, 4))))
    priced = rng.random() < 0.7
    price = lambda length: round(length * float(rng.uniform(0.004, 0.006)), 2) if priced else None
    stock = [{"length": length, "price": price(length),
              "count": None if length == boards[-1] or rng.random() < 0.6 else int(rng.integers(1, 4)),
              "defects": []} for length in boards]
    if rng.random() < 0.4:
        at = long(300, 1000)
        stock.append({"length": boards[-1], "price": price(boards[-1] / 3), "count": None,
                      "defects": [[at, round(at + long(1, 60), 6)]]})
    room = boards[-1] - 2 * trim
    pieces = [[long(0.12 * room, 0.7 * room), int(rng.integers(1, 6)), None]
              for _ in range(int(rng.integers(3, 8)))]
    if rng.random() < 0.3:
        pieces += [[long(0.05 * room, 0.25 * room), 1, "g"] for _ in range(2)]
    return {"what": "off the grid", "pieces": pieces, "stock": stock, "kerf": kerf, "trim": trim,
            "cell": None, "best": None}


def cases(rng):
    """The textbooks' instances, random ones, and questions for spares."""
    found = [dict(case) for case in TEXTBOOKS] + [one_case(rng) for _ in range(COUNT)]
    found += [off_grid(rng) for _ in range(OFF_GRID)]
    for case in found:
        case["spares"] = [
            [int(rng.integers(1, 200)), round(float(rng.uniform(0.001, 0.3)), 4),
             round(float(rng.uniform(0.5, 0.999)), 4)]
            for _ in range(4)
        ]
    return found


def clear(board, kerf, trim):
    """The clear stretches of a board."""
    at, end, found = trim, board["length"] - trim, []
    for begin, finish in sorted(board["defects"]):
        finish = max(finish, begin + kerf)
        if min(begin, end) > at:
            found.append((at, min(begin, end)))
        at = max(at, finish)
    if end > at:
        found.append((at, end))
    return found


def wanted(case):
    """Sizes that are cut as one, with their numbers: matched pieces lie side by side."""
    kerf, sizes, groups = case["kerf"], {}, {}
    for long, count, group in case["pieces"]:
        if group is None:
            sizes[long + kerf] = sizes.get(long + kerf, 0) + count
        else:
            groups[group] = groups.get(group, 0.0) + long + kerf
    for long in groups.values():
        sizes[long] = sizes.get(long, 0) + 1
    return sizes


def fillings(sizes, counts, room):
    """All ways to fill a stretch that leave no room for a further piece, as numbers of each size."""
    found = []

    def fill(at, left, so_far):
        if at == len(sizes):
            if not any(size <= left and n < most for size, n, most in zip(sizes, so_far, counts)):
                found.append(tuple(so_far))
            return
        for n in range(min(counts[at], int(left // sizes[at])), -1, -1):
            fill(at + 1, left - n * sizes[at], so_far + [n])

    fill(0, room, [])
    return found


def chosen(case):
    """The least cost, by choice among all fillings; lengths in whole millionths of a millimetre."""
    nano = lambda length: int(round(length * 1e6))
    kerf = case["kerf"]
    told = {}
    for size, count in wanted(case).items():
        told[nano(size)] = told.get(nano(size), 0) + count
    sizes = sorted(told, reverse=True)
    counts = [told[size] for size in sizes]
    priced = all(board["price"] is not None for board in case["stock"])
    stretches = []
    for kind, board in enumerate(case["stock"]):
        found = clear(board, kerf, case["trim"])
        stretches += [(kind, nano(finish) - nano(begin) + nano(kerf)) for begin, finish in found]
    kinds = len(case["stock"])
    cost = [board["price"] if priced else board["length"] for board in case["stock"]]
    limits = [board["count"] if board["count"] is not None else (1 if board["defects"] else None)
              for board in case["stock"]]
    upper = [np.inf if limit is None else limit for limit in limits]
    rows, low = [], []
    for number, (kind, room) in enumerate(stretches):
        for filling in fillings(sizes, counts, room):
            rows.append((number, filling))
    width = kinds + len(rows)
    matrix = np.zeros((len(sizes) + len(stretches), width))
    for at, (number, filling) in enumerate(rows):
        matrix[: len(sizes), kinds + at] = filling
        matrix[len(sizes) + number, kinds + at] = -1.0
    for number, (kind, _) in enumerate(stretches):
        matrix[len(sizes) + number, kind] = 1.0
    low = np.array(counts + [0] * len(stretches), float)
    found = milp(np.array(cost + [0.0] * len(rows)), constraints=LinearConstraint(matrix, low, np.inf),
                 integrality=np.ones(width), bounds=Bounds(0, np.array(upper + [np.inf] * len(rows))),
                 options={"mip_rel_gap": 0.0, "time_limit": 120.0})
    return (found.fun, found.status == 0) if found.x is not None else (None, found.status == 2)


def highs(case):
    """The least cost, by flow through the places of the boards, or by choice where there is no grid."""
    if case["cell"] is None:
        return chosen(case)
    cell, kerf = case["cell"], case["kerf"]
    cells = lambda length: int(round(length / cell))
    # Lengths that come of inches differ by a hair where they are one on the grid.
    counts = {}
    for long, count in wanted(case).items():
        counts[cells(long)] = counts.get(cells(long), 0) + count
    sizes = sorted(counts.items(), reverse=True)
    priced = all(board["price"] is not None for board in case["stock"])
    cost, upper, columns = [], [], []
    rows = {}
    row = lambda key: rows.setdefault(key, len(rows))
    for size, count in sizes:
        row(("size", size))
    most = []
    for kind, board in enumerate(case["stock"]):
        limit = board["count"] if board["count"] is not None else (1 if board["defects"] else None)
        column = [(("stretch", kind, n, 0), -1.0) for n in range(len(clear(board, kerf, case["trim"])))]
        column += [(("end", kind, n), 1.0) for n in range(len(column))]
        cost.append(board["price"] if priced else board["length"])
        upper.append(np.inf if limit is None else limit)
        columns.append(column)
        for n, (begin, finish) in enumerate(clear(board, kerf, case["trim"])):
            room = cells(finish - begin + kerf)
            reached = {0}
            for at in range(room + 1):
                if at not in reached:
                    continue
                for size, count in sizes:
                    if at + size <= room:
                        reached.add(at + size)
                        cost.append(0.0)
                        upper.append(np.inf)
                        columns.append([(("stretch", kind, n, at), 1.0),
                                        (("stretch", kind, n, at + size), -1.0),
                                        (("size", size), 1.0)])
            for at in sorted(reached):
                cost.append(0.0)
                upper.append(np.inf)
                columns.append([(("stretch", kind, n, at), 1.0), (("end", kind, n), -1.0)])
    entries = [(row(key), number, value)
               for number, column in enumerate(columns) for key, value in column]
    at, number, value = zip(*entries)
    matrix = sparse.csr_matrix((value, (at, number)), shape=(len(rows), len(columns)))
    low, high = np.zeros(len(rows)), np.zeros(len(rows))
    for size, count in sizes:
        low[rows[("size", size)]], high[rows[("size", size)]] = count, np.inf
    found = milp(np.array(cost), constraints=LinearConstraint(matrix, low, high),
                 integrality=np.ones(len(cost)), bounds=Bounds(0, np.array(upper)),
                 options={"mip_rel_gap": 0.0, "time_limit": 120.0})
    return (found.fun, found.status == 0) if found.x is not None else (None, found.status == 2)


def told_boards(case, answer):
    """How far the boards break what they have to keep, and what they cost."""
    kerf, cut, worst, cost, used = case["kerf"], {}, 0.0, 0.0, {}
    priced = all(board["price"] is not None for board in case["stock"])
    of_groups = {}
    for number, board in enumerate(answer["boards"]):
        stock = case["stock"][board["stock"]]
        used[board["stock"]] = used.get(board["stock"], 0) + 1
        cost += stock["price"] if priced else stock["length"]
        stretches, before = clear(stock, kerf, case["trim"]), None
        for place, (blank, begin, finish) in enumerate(board["cuts"]):
            cut[blank] = cut.get(blank, 0) + 1
            worst = max(worst, abs(finish - begin - case["pieces"][blank][0]))
            worst = max(worst, min(max(a - begin, finish - b, 0.0) for a, b in stretches))
            if before is not None:
                worst = max(worst, before + kerf - begin)
            before = finish
            group = case["pieces"][blank][2]
            if group is not None:
                of_groups.setdefault(group, []).append((number, place, blank, begin, finish))
    for cuts in of_groups.values():
        for one, next_ in zip(cuts, cuts[1:]):
            beside = one[0] == next_[0] and one[1] + 1 == next_[1] and one[2] < next_[2]
            worst = max(worst, 0.0 if beside else 1e3, abs(next_[3] - one[4] - kerf))
    for kind, count in used.items():
        stock = case["stock"][kind]
        limit = stock["count"] if stock["count"] is not None else (1 if stock["defects"] else None)
        worst = max(worst, 0.0 if limit is None or count <= limit else 1e3)
    missing = sum(abs(cut.get(at, 0) - count) for at, (_, count, _) in enumerate(case["pieces"]))
    return worst, missing, cost


def checks(case, answer):
    """Everything that is compared for one set of boards."""
    for (needed, bad, sure), ours in zip(case["spares"], answer["spares"], strict=True):
        spare = 0
        while binom.cdf(spare, needed + spare, bad) < sure:
            spare += 1
        yield Check("spares (scipy's binomial)", ours, spare, 0.5)
    best, proven = highs(case)
    if answer["cannot"] or answer["short"]:
        yield Check("boards too few or too short (HiGHS)", 0.0 if best is None else 1.0, 0.0, 0.5)
        return
    worst, missing, cost = told_boards(case, answer)
    yield Check("kerfs, trims, defects and matches kept", worst, 0.0, LENGTH_MM)
    yield Check("every piece cut once", missing, 0, 0.5)
    yield Check("cost as told", answer["cost"], cost, COST * cost)
    if case["best"] is not None:
        yield Check(f"optimum as published: {case['what']}", answer["cost"], case["best"], COST)
    if not proven:
        return
    yield Check("bound is none above the optimum (HiGHS)", max(answer["bound"] - best, 0.0), 0.0, COST * best)
    yield Check("cost is none below the optimum (HiGHS)", max(best - answer["cost"], 0.0), 0.0, COST * best)
    if answer["best"]:
        yield Check("proven ones are optimal (HiGHS)", answer["cost"], best, COST * best)
    yield Check("cost within 1 % of the optimum (HiGHS)", max(answer["cost"] - best, 0.0), 0.0, 0.01 * best)
    yield Check("bound within 1 % of the optimum (HiGHS)", max(best - answer["bound"], 0.0), 0.0, 0.01 * best)
