# SPDX-License-Identifier: Apache-2.0
"""Times what BenchmarkMillionClearances does, with NumPy: a million draws of a
clearance from four parts, mean, spread and 95 % interval. Prints milliseconds.

    /usr/bin/python3 rival_numpy.py
"""
import statistics
import time

import numpy as np


def once(rng, n=1_000_000):
    y = (rng.normal(51.000, 0.002, n) - rng.normal(47.990, 0.0015, n)
         - rng.uniform(1.484, 1.486, n) - rng.uniform(1.484, 1.486, n))
    return y.mean(), y.std(ddof=1), np.quantile(y, [0.025, 0.975])


rng = np.random.default_rng(1)
once(rng)
times = []
for _ in range(7):
    start = time.perf_counter()
    once(rng)
    times.append(1000 * (time.perf_counter() - start))
print("NumPy %s: %.0f ms" % (np.__version__, statistics.median(times)))
