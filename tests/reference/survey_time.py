"""The two cases of `tests/benches/survey.rs` by numpy and scikit-learn; prints seconds, best of several.

First: as many unknowns and readings as the flight has, in covariance form: the covariance of the
readings, its factor, the diagonal of its inverse, the means and the variances of all unknowns.
Second: Gaussian-process regression with a linear basis on 2000 points, fitted with its kernel held.
One thread, as ours.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import time

import numpy as np
from scipy.linalg import cho_factor, cho_solve, solve_triangular
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, DotProduct


def best(runs, work):
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return min(times)


def adjusted(design, prior, noise, values):
    shared = design * prior
    covariance = shared @ design.T + np.diag(noise)
    factor = cho_factor(covariance, lower=True)
    inverse = cho_solve(factor, np.eye(len(noise)))
    weights = cho_solve(factor, values)
    half = solve_triangular(factor[0], shared, lower=True)
    return weights, np.diag(inverse), prior - (half**2).sum(axis=0)


def main():
    rng = np.random.default_rng(3)
    unknowns, readings = 16 * 12 + 11, 200
    design = np.where(rng.random((readings, unknowns)) < 0.04, 1.0, 0.0)
    prior, noise = np.full(unknowns, 36.0), np.full(readings, 0.36)
    values = rng.normal(size=readings)
    print(best(50, lambda: adjusted(design, prior, noise, values)))

    at = np.arange(2000.0)
    places = np.column_stack([4500 * (at * 0.618034 % 1), 2400 * (at * 0.754878 % 1)])
    offsets = 3 * np.sin(at * 1.618)
    kernel = ConstantKernel(9.0, "fixed") * RBF(800.0, "fixed") + ConstantKernel(
        1e-4, "fixed"
    ) * DotProduct(1e4, "fixed")
    model = GaussianProcessRegressor(kernel, alpha=0.36, optimizer=None)
    print(best(3, lambda: model.fit(places, offsets)))


main()
