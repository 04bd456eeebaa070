"""Times numpy at drawing what readings leave open: FILE holds one column of the map for each number.

    doubt_time.py FILE DRAWS

Prints seconds: the best of five, random numbers and product together, on one thread.
"""

import json
import os
import sys
import time

os.environ["OPENBLAS_NUM_THREADS"] = "1"

import numpy  # noqa: E402  (after the number of threads is set)

with open(sys.argv[1], encoding="utf-8") as file:
    columns = numpy.array(json.load(file))
draws = int(sys.argv[2])
generator = numpy.random.Generator(numpy.random.PCG64(1))
best = float("inf")
for _ in range(5):
    began = time.perf_counter()
    drawn = generator.standard_normal((draws, columns.shape[0])) @ columns
    best = min(best, time.perf_counter() - began)
assert drawn.shape == (draws, columns.shape[1])
print(best)
