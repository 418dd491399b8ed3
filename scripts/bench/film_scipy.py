# SPDX-License-Identifier: Apache-2.0
"""The short-bearing orbit in SciPy and NumPy: reference values and timings.

Needs python3-scipy only.

    python3 scripts/bench/film_scipy.py --reference > film/testdata/scipy_orbits.csv
    python3 scripts/bench/film_scipy.py             # timings as JSON

The equations are those of docs/film.md, the film the exact short one: V solves
4 (L/D)^2 G V = W with G the integrals over the approaching half. Two invented
cycles with closed formulas, so that nothing but the formula is shared:

  smooth  F = (4000 + 6000 cos(a/2), 3000 sin a) N, bearing at rest
  firing  F = (32000 exp(-((a-0.35)/0.25)^2) - 8000 cos a, 5000 sin a - 3000 sin 2a) N,
          rod's frame with crank over rod 0.3
"""
import argparse
import json
import math
import time

import numpy as np
from scipy.integrate import odeint, solve_ivp
from scipy.optimize import minimize_scalar

D, L, MU = 0.050, 0.020, 0.010  # m, m, Pa s
PERIOD = 4 * math.pi


def force(cycle, a):
    if cycle == "smooth":
        return 4000 + 6000 * math.cos(a / 2), 3000 * math.sin(a), 0.5
    t = (a + 1) % PERIOD - 1
    fx = 32000 * math.exp(-(((t - 0.35) / 0.25) ** 2)) - 8000 * math.cos(a)
    s = 0.5 * (1 + 0.3 * math.cos(a) / math.sqrt(1 - (0.3 * math.sin(a)) ** 2))
    return fx, 5000 * math.sin(a) - 3000 * math.sin(2 * a), s


def integrals(e, c, s):
    """Of cos^2, sin cos, sin^2 over H^3, over the half turn centred on (c, s)."""
    q2 = 1 - e * e
    q = math.sqrt(q2)
    h1, h2 = 1 / (1 - e * s), 1 / (1 + e * s)
    c1, s1, c2, s2 = (s - e) * h1, -q * c * h1, (-s - e) * h2, q * c * h2
    d = math.atan2(s2 * c1 - c2 * s1, c2 * c1 + s2 * s1)
    if d < 0:
        d += 2 * math.pi
    sc = s2 * c2 - s1 * c1
    return (((d + sc) / 2 + 2 * e * (s2 - s1) + e * e * d) / (q2 * q2 * q),
            ((s2 * s2 - s1 * s1) / 2 - e * (c2 - c1)) / (q2 * q2),
            (d - sc) / 2 / (q2 * q))


def rate(a, z, cycle, scale):
    """d eps/d alpha; scale is W-bar per newton over 4 (L/D)^2."""
    x, y = z
    fx, fy, spin = force(cycle, a)
    wx, wy = fx * scale, fy * scale
    e = math.hypot(x, y)
    if e > 0.9999:  # a trial stage outside the clearance: bring it back, the step will be refused
        x, y, e = x * 0.9999 / e, y * 0.9999 / e, 0.9999
    cx, cy = (x / e, y / e) if e > 1e-12 else (1.0, 0.0)
    p, q = wx * cx + wy * cy, -wx * cy + wy * cx
    n = math.hypot(p, q)
    c, s = p / n, q / n
    for _ in range(30):
        icc, isc, iss = integrals(e, c, s)
        det = icc * iss - isc * isc
        vc, vs = (iss * p - isc * q) / det, (icc * q - isc * p) / det
        n = math.hypot(vc, vs)
        turn = abs(vc * s - vs * c) / n
        c, s = vc / n, vs / n
        if turn < 1e-8:
            break
    return vc * cx - vs * cy - spin * y, vc * cy + vs * cx + spin * x


def scale_of(clearance, rpm):
    w = rpm * math.pi / 30
    wbar = 2 / (MU * w * (D / clearance) ** 2 * L * D)
    return wbar / (4 * (L / D) ** 2)


def orbit_lsoda(cycle, scale, rtol=1e-4, atol=1e-5, points=721):
    """Tuned: LSODA through odeint, tolerances for about 0.1 % of the least film."""
    a = np.linspace(-math.pi, PERIOD, points + points // 4)
    z = odeint(rate, (0.5, 0.0), a, args=(cycle, scale), tfirst=True, rtol=rtol, atol=atol)
    return (1 - np.hypot(z[:, 0], z[:, 1]))[a >= 0].min()


def orbit_ivp(cycle, scale, rtol=1e-5, atol=1e-6):
    """Ordinary: solve_ivp as it comes, RK45, with dense output."""
    s = solve_ivp(rate, (-math.pi, PERIOD), (0.5, 0.0), args=(cycle, scale), rtol=rtol, atol=atol, dense_output=True)
    a = np.linspace(0, PERIOD, 1441)
    z = s.sol(a)
    return (1 - np.hypot(z[0], z[1])).min()


def reference(cycle, scale):
    """Two cycles at tight tolerance; least film of the second, its angle."""
    s = solve_ivp(rate, (0, 3 * PERIOD), (0.5, 0.0), args=(cycle, scale), method="DOP853", rtol=1e-10, atol=1e-11, dense_output=True)
    film = lambda a: 1 - math.hypot(*s.sol(a))
    grid = np.linspace(2 * PERIOD, 3 * PERIOD, 2881)
    i = min(range(len(grid)), key=lambda k: film(grid[k]))
    r = minimize_scalar(film, bounds=(grid[max(i - 1, 0)], grid[min(i + 1, 2880)]), method="bounded", options={"xatol": 1e-8})
    return r.fun, math.degrees(r.x % PERIOD)


def vectorised(scales, steps=240, fitted=False):
    """RK4 over many orbits at once in NumPy: the smooth cycle, short film.

    fitted takes the literature's closed-form mobility, which costs a tenth of
    the exact integrals and is 5 to 10 % off them."""
    scales = np.asarray(scales)
    x, y = np.full(scales.size, 0.5), np.zeros(scales.size)
    least = np.ones(scales.size)
    h = PERIOD / steps

    def f_fitted(a, x, y):
        fx, fy, spin = force("smooth", a)
        w = math.hypot(fx, fy)
        ux, uy = fx / w, fy / w
        xi, eta = x * ux + y * uy, y * ux - x * uy
        # V = M W-bar/2, M = (d^2.5, -4/pi eta d^1.5)/(pi (L/D)^2); scale holds 1/(4 (L/D)^2).
        u = np.sqrt(1 - xi)
        k = 2 / math.pi * w * scales * u * u * u
        m1, m2 = k * u * u, -4 / math.pi * k * eta
        return m1 * ux - m2 * uy - spin * y, m1 * uy + m2 * ux + spin * x

    def f_exact(a, x, y):
        fx, fy, spin = force("smooth", a)
        e = np.hypot(x, y)
        q2 = 1 - e * e
        q = np.sqrt(q2)
        cx, cy = x / e, y / e
        p, r = (fx * cx + fy * cy) * scales, (-fx * cy + fy * cx) * scales
        n = np.hypot(p, r)
        c, s = p / n, r / n
        for _ in range(5):  # Newton converges quadratically
            h1, h2 = 1 / (1 - e * s), 1 / (1 + e * s)
            c1, s1, c2, s2 = (s - e) * h1, -q * c * h1, (-s - e) * h2, q * c * h2
            d = np.arctan2(s2 * c1 - c2 * s1, c2 * c1 + s2 * s1)
            d = np.where(d < 0, d + 2 * np.pi, d)
            sc = s2 * c2 - s1 * c1
            icc = ((d + sc) / 2 + 2 * e * (s2 - s1) + e * e * d) / (q2 * q2 * q)
            isc = ((s2 * s2 - s1 * s1) / 2 - e * (c2 - c1)) / (q2 * q2)
            iss = (d - sc) / 2 / (q2 * q)
            det = icc * iss - isc * isc
            vc, vs = (iss * p - isc * r) / det, (icc * r - isc * p) / det
            n = np.hypot(vc, vs)
            c, s = vc / n, vs / n
        return vc * cx - vs * cy - spin * y, vc * cy + vs * cx + spin * x

    f = f_fitted if fitted else f_exact
    for i in range(-steps // 4, steps):
        a = i * h
        k1 = f(a, x, y)
        k2 = f(a + h / 2, x + h / 2 * k1[0], y + h / 2 * k1[1])
        k3 = f(a + h / 2, x + h / 2 * k2[0], y + h / 2 * k2[1])
        k4 = f(a + h, x + h * k3[0], y + h * k3[1])
        x = x + h / 6 * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0])
        y = y + h / 6 * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1])
        if i >= 0:
            least = np.minimum(least, 1 - np.hypot(x, y))
    return least


CASES = [("smooth", 40e-6, 3000), ("smooth", 50e-6, 3000), ("smooth", 70e-6, 2000),
         ("firing", 40e-6, 4000), ("firing", 50e-6, 4000), ("firing", 50e-6, 6000)]


def best(run, times=5):
    """Least processor time of a few runs, in seconds: the machine may be shared."""
    out = []
    for _ in range(times):
        t = time.process_time()
        run()
        out.append(time.process_time() - t)
    return min(out)


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--reference", action="store_true", help="print reference orbits as CSV")
    if p.parse_args().reference:
        print("cycle,clearance_um,rpm,film_ratio,at_deg")
        for cycle, c, rpm in CASES:
            h, a = reference(cycle, scale_of(c, rpm))
            print(f"{cycle},{c * 1e6:.0f},{rpm},{h:.9f},{a:.4f}")
        return
    out = {}
    for cycle, c, rpm in (CASES[1], CASES[4]):
        scale = scale_of(c, rpm)
        ref = reference(cycle, scale)[0]
        for name, run in (("lsoda", orbit_lsoda), ("solve_ivp", orbit_ivp)):
            err = run(cycle, scale) / ref - 1
            out[f"{cycle}_{name}"] = {"us_per_orbit": 1e6 * best(lambda: run(cycle, scale)), "error_percent": 100 * err}
    scales = scale_of(50e-6, 3000) * np.linspace(0.7, 1.4, 2000)
    ref = reference("smooth", scales[1000])[0]
    for name, fitted in (("exact", False), ("fitted", True)):
        run = lambda: vectorised(scales, fitted=fitted)
        err = run()[1000] / ref - 1
        out[f"smooth_numpy_2000_{name}"] = {"us_per_orbit": 1e6 * best(run, 3) / 2000, "error_percent": 100 * err}
    print(json.dumps(out, indent=2))


if __name__ == "__main__":
    main()
