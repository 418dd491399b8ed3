# SPDX-License-Identifier: Apache-2.0
"""Makes golden.json: reference values from SciPy (Debian's python3-scipy).

    python3 make_golden.py > golden.json

Convolution of a normal and a uniform spread: the normal distribution function
averaged over the uniform one by adaptive quadrature, in both tails. Grubbs'
critical values and Student factors from scipy.stats.t. d2 by quadrature.
Roundness by numpy.linalg.lstsq.
"""
import json
import sys

import numpy as np
import scipy
from scipy import integrate, stats


def num(x):
    return float("%.12g" % x)


def lower(x, u, h):
    """P(u Z + h R <= x), each piece integrated to its own relative accuracy."""
    edges = np.linspace(x - h, x + h, 41)
    total = 0.0
    for a, b in zip(edges[:-1], edges[1:]):
        total += integrate.quad(lambda t: stats.norm.cdf(t, scale=u), a, b, epsabs=0, epsrel=1e-12)[0]
    return total / (2 * h)


def convolved():
    out = []
    for u, h in [(1, 0.001), (1, 0.1), (1, 0.4999), (1, 0.5001), (1, 1), (1, 3), (1, 20), (0.0027, 0.006), (0.0045, 0.00325)]:
        scale = u + h
        for k in [-8, -6, -4, -3, -2, -1.3, -1, -0.5, -0.1, 0.0, 0.25, 0.9, 1.7]:
            x = num(k * scale)
            out.append({"u": u, "h": h, "x": x, "cdf": num(lower(x, u, h))})
    return out


def grubbs():
    out = []
    for n in list(range(3, 21)) + [30, 50, 100]:
        for alpha in [0.01, 0.05, 0.1]:
            t = stats.t.isf(alpha / (2 * n), n - 2)
            out.append({"n": n, "alpha": alpha, "critical": num((n - 1) / n**0.5 * (t * t / (n - 2 + t * t)) ** 0.5)})
    return out


def student():
    return [{"p": p, "nu": nu, "t": num(stats.t.ppf((1 + p) / 2, nu))}
            for nu in [0.7, 1, 1.5, 2, 3, 4, 5, 8, 10, 16, 16.75, 30, 50, 100, 1000]
            for p in [0.6827, 0.8, 0.9, 0.95, 0.9545, 0.99, 0.9973]]


def d2():
    out = []
    for n in range(2, 26):
        f = lambda z: 1 - stats.norm.sf(z) ** n - stats.norm.cdf(z) ** n
        out.append({"n": n, "d2": num(2 * integrate.quad(f, 0, 20, epsabs=1e-13, epsrel=1e-12, limit=200)[0])})
    return out


def roundness():
    cases = [
        ([0, 60, 120], [47.981, 47.984, 47.978]),
        ([0, 45, 90, 135], [47.981, 47.984, 47.978, 47.975]),
        ([10, 35, 80, 100, 150, 170], [53.012, 53.009, 53.001, 53.0, 53.006, 53.010]),
    ]
    out = []
    for angles, d in cases:
        th = np.radians(angles)
        x = np.column_stack([np.ones(len(th)), np.cos(2 * th), np.sin(2 * th)])
        beta = np.linalg.lstsq(x, np.array(d), rcond=None)[0]
        cov = np.linalg.inv(x.T @ x)
        a, b = beta[1:]
        r = np.hypot(a, b)
        out.append({
            "angles": angles, "diameters": d, "mean": num(beta[0]), "ovality": num(2 * r),
            "direction": num(np.degrees(np.arctan2(b, a)) / 2 % 180),
            "u_mean_per_reading": num(cov[0, 0] ** 0.5),
            "u_ovality_per_reading": num(2 * (np.array([a, b]) / r @ cov[1:, 1:] @ np.array([a, b]) / r) ** 0.5),
        })
    return out


print("SciPy", scipy.__version__, file=sys.stderr)
json.dump({"convolved": convolved(), "grubbs": grubbs(), "student": student(), "d2": d2(), "roundness": roundness()},
          sys.stdout, indent=1)
print()
