"""Doubt's machinery: propagation, shares of variance, intervals of a chance, factors of Student.

- Random expressions of correlated inputs: ours by checked differences, `uncertainties` by the
  derivatives of every operation. Standard deviations, and the covariance of two results.
- Shares of variance of Ishigami's function and of Sobol's g from the same random rows: the total
  shares against SALib's to the last digits (Jansen's estimator both times), first-order ones
  against SALib's (another estimator) and both against the closed forms within standard errors, and
  the standard errors themselves against SALib's bootstrap.
- The confidence sequence of a chance against the same equation solved by scipy; factors of Student
  against scipy.

Any units.
"""

import math
import warnings

import numpy as np
import uncertainties
from SALib.analyze import sobol
from SALib.test_functions import Ishigami, Sobol_G
from scipy import stats
from scipy.optimize import brentq
from scipy.special import betaln
from uncertainties import umath

from check import Check

TREES, ROWS = 120, 1500
ONE = ("sin", "cos", "exp", "log", "sqrt", "atan")
TWO = ("add", "sub", "mul", "div")
BOUNDS_ISHIGAMI, G = [-math.pi, math.pi], [0.0, 1.0, 4.5, 9.0]
# Differences of the fourth order; of the value its rounding, divided by a small step.
RELATIVE, ROUNDING = 1e-7, 1e-11
# As good as statrs inverts the distribution.
STUDENT = 1e-6
# A standard error from 40 blocks, and one from resampling.
LOG_OF_ERRORS = 0.6
ERRORS = 5.0


class Unfit(Exception):
    """An expression that is too steep where it is asked for."""


def tree(rng, inputs, depth):
    if depth == 0 or rng.random() < 0.15:
        if rng.random() < 0.8:
            return ["x", int(rng.integers(inputs))]
        return ["c", float(rng.uniform(0.5, 3.0))]
    if rng.random() < 0.4:
        return [str(rng.choice(ONE)), tree(rng, inputs, depth - 1)]
    return [str(rng.choice(TWO)), tree(rng, inputs, depth - 1), tree(rng, inputs, depth - 1)]


def value(node, x, functions):
    """The value with `functions` as sin and so on; x may hold numbers or uncertain ones."""
    name = node[0]
    if name == "x":
        return x[node[1]]
    if name == "c":
        return node[1]
    a = value(node[1], x, functions)
    if name in ONE:
        at = uncertainties.nominal_value(a)
        if (name in ("log", "sqrt") and at < 0.3) or (name == "exp" and at > 3):
            raise Unfit
        return getattr(functions, name)(a)
    b = value(node[2], x, functions)
    if name == "div" and abs(uncertainties.nominal_value(b)) < 0.3:
        raise Unfit
    return {"add": lambda: a + b, "sub": lambda: a - b, "mul": lambda: a * b, "div": lambda: a / b}[name]()


def fit_tree(rng, x):
    while True:
        drawn = tree(rng, len(x), int(rng.integers(2, 6)))
        try:
            at = value(drawn, x, math)
        except Unfit:
            continue
        if abs(at) < 1e3:
            return drawn


def trees(rng):
    n = int(rng.integers(1, 6))
    x = rng.uniform(0.5, 2.0, n).tolist()
    sds = rng.uniform(0.001, 0.1, n)
    half = rng.normal(size=(n, n + 2))
    covariance = half @ half.T
    scale = sds / np.sqrt(np.diag(covariance))
    covariance *= np.outer(scale, scale)
    drawn = [fit_tree(rng, x), fit_tree(rng, x)]
    return {"kind": "trees", "values": x, "covariance": covariance.tolist(), "trees": drawn}


def rows(rng, function):
    low, high = BOUNDS_ISHIGAMI if function == "ishigami" else (0.0, 1.0)
    inputs = 3 if function == "ishigami" else len(G)
    drawn = [rng.uniform(low, high, (ROWS, inputs)).tolist() for _ in range(2)]
    return {"kind": "shares", "function": function, "a": drawn[0], "b": drawn[1]}


def chances(rng):
    tallies = [(0, 0), (0, 1), (1, 1), (0, 5000), (5000, 5000)]
    for of in np.exp(rng.uniform(0, math.log(1e6), 60)).astype(int):
        share = rng.choice([rng.random(), 10 ** rng.uniform(-5, 0)])
        tallies.append((int(rng.binomial(of, share)), int(of)))
    return {"kind": "chances", "alpha": float(rng.choice([0.05, 0.01])), "tallies": tallies}


def factors(rng):
    asked = [(float(f), float(s)) for f in (1, 2, 3.5, 16, 16.7, 50, 1e3) for s in (0.5, 0.6827, 0.95, 0.99)]
    asked += [(float(10 ** rng.uniform(0, 4)), float(rng.uniform(0.05, 0.999))) for _ in range(40)]
    return {"kind": "factors", "asked": asked}


def cases(rng):
    return [trees(rng) for _ in range(TREES)] + [
        rows(rng, "ishigami"), rows(rng, {"g": G}), chances(rng), factors(rng),
    ]


def tree_checks(case, answer):
    covariance = np.array(case["covariance"])
    x = uncertainties.correlated_values(case["values"], covariance)
    alone = [uncertainties.ufloat(v, math.sqrt(covariance[i, i])) for i, v in enumerate(case["values"])]
    results = [value(one, x, umath) + 0 * x[0] for one in case["trees"]]
    apart = [value(one, alone, umath) + 0 * alone[0] for one in case["trees"]]
    allowed = [RELATIVE * one.std_dev + ROUNDING * (1 + abs(one.nominal_value)) for one in results]
    for index, (of_all, of_alone) in enumerate(zip(results, apart, strict=True)):
        told = lambda what: answer[what][index]  # noqa: B023, E731
        at = of_all.nominal_value
        yield Check("value against uncertainties", told("values"), at, 1e-12 * (1 + abs(at)))
        yield Check("u of correlated inputs against uncertainties", told("sds"), of_all.std_dev, allowed[index])
        tolerance = RELATIVE * of_alone.std_dev + ROUNDING * (1 + abs(at))
        yield Check("u of independent inputs against uncertainties", told("sds_if_independent"), of_alone.std_dev, tolerance)
    both = uncertainties.covariance_matrix(results)[0][1]
    allowed = allowed[0] * results[1].std_dev + allowed[1] * results[0].std_dev + 1e-18
    yield Check("covariance of two results against uncertainties", answer["covariance"], both, allowed)


def closed_form(function):
    """First-order and total shares."""
    if function == "ishigami":
        a, b, pi4 = 7.0, 0.1, math.pi**4
        variance = a * a / 8 + b * pi4 / 5 + b * b * pi4 * pi4 / 18 + 0.5
        mixed = 8 * b * b * pi4 * pi4 / 225
        first = np.array([0.5 * (1 + b * pi4 / 5) ** 2, a * a / 8, 0.0])
        return first / variance, (first + [mixed, 0.0, mixed]) / variance
    own = 1 / (3 * (1 + np.array(function["g"])) ** 2)
    product = np.prod(1 + own)
    return own / (product - 1), own * product / (1 + own) / (product - 1)


def share_checks(case, answer):
    a, b = np.array(case["a"]), np.array(case["b"])
    function, inputs = case["function"], len(case["a"][0])
    sampled = np.repeat(a[:, None, :], inputs + 2, axis=1)
    for group in range(inputs):
        sampled[:, group + 1, group] = b[:, group]
    sampled[:, -1] = b
    flat = sampled.reshape(-1, inputs)
    if function == "ishigami":
        results = Ishigami.evaluate(flat)
    else:
        results = Sobol_G.evaluate(flat, a=np.array(function["g"]))
    problem = {"num_vars": inputs, "names": [str(i) for i in range(inputs)], "bounds": [[0, 1]] * inputs}
    with warnings.catch_warnings():
        # Its own use of pandas and numpy.
        warnings.simplefilter("ignore")
        told = sobol.analyze(problem, results, calc_second_order=False, num_resamples=400, seed=1)
    yield Check("rows used", answer["used"], len(a), 0.5)
    name = function if function == "ishigami" else "g"
    first, total = closed_form(function)
    for group, ours in enumerate(answer["shares"]):
        yield Check(f"total share of {name} against SALib", ours["total"], told["ST"][group], 1e-9)
        error = math.hypot(ours["first_se"], told["S1_conf"][group] / 1.96)
        yield Check(f"first share of {name} against SALib", ours["first"], told["S1"][group], ERRORS * error)
        for what, is_ in (("first", first[group]), ("total", total[group])):
            yield Check(f"{what} share of {name} against its closed form", ours[what], is_, ERRORS * ours[what + "_se"])
        ratio = math.log(ours["total_se"] / (told["ST_conf"][group] / 1.96))
        yield Check(f"log of the error of a total share of {name} against SALib's bootstrap", ratio, 0.0, LOG_OF_ERRORS)


def ends(hits, of, alpha):
    """The chances at which the mixture's ratio is 1/alpha."""
    misses = of - hits
    mixture = betaln(hits + 0.5, misses + 0.5) - betaln(0.5, 0.5)

    def over(p):
        likelihood = (hits * math.log(p) if hits else 0) + (misses * math.log1p(-p) if misses else 0)
        return mixture - likelihood + math.log(alpha)

    tiny = 1e-15
    share = min(max(hits / of, tiny), 1 - tiny)
    low = brentq(over, tiny, share, xtol=1e-15) if hits else 0.0
    high = brentq(over, share, 1 - tiny, xtol=1e-15) if misses else 1.0
    return low, high


def checks(case, answer):
    if case["kind"] == "trees":
        yield from tree_checks(case, answer)
    elif case["kind"] == "shares":
        yield from share_checks(case, answer)
    elif case["kind"] == "chances":
        for (hits, of), ours in zip(case["tallies"], answer["intervals"], strict=True):
            theirs = ends(hits, of, case["alpha"]) if of else (0.0, 1.0)
            for one, other in zip(ours, theirs, strict=True):
                yield Check("end of a chance's interval against scipy", one, other, 1e-8 * other + 1e-12)
    else:
        for (freedom, share), ours in zip(case["asked"], answer["factors"], strict=True):
            theirs = float(stats.t.ppf(0.5 + 0.5 * share, freedom))
            yield Check("factor of Student against scipy", ours, theirs, STUDENT * theirs)
