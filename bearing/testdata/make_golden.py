# SPDX-License-Identifier: Apache-2.0
"""Prints golden.json: values from NumPy and SciPy that the tests compare with.

crush   the two rings as a boundary value problem of the radial displacement,
        solved numerically (scipy.integrate.solve_bvp); no formula of Lame's is used
excess  the joint normal update in information form (numpy.linalg.inv)
pairing the assignment as an integer program (scipy.optimize.milp, HiGHS), first
        the largest departure, then the sum of squares
All instances are invented, from a fixed seed.
"""
import json

import numpy as np
from scipy.integrate import solve_bvp
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix


def crush(bore, outer, wall, width, eh, nh, es, ns, delta):
    a, b, c = bore / 2 - wall, bore / 2, outer / 2

    def stress(e, nu, u, du, r):
        return e / (1 - nu * nu) * (du + nu * u / r)

    # Both rings over one x from 0 to 1; y = [us, us', uh, uh'].
    def rhs(x, y):
        rs, rh = a + x * (b - a), b + x * (c - b)
        return np.vstack([
            y[1] * (b - a), (y[0] / rs**2 - y[1] / rs) * (b - a),
            y[3] * (c - b), (y[2] / rh**2 - y[3] / rh) * (c - b)])

    def ends(l, r):
        return np.array([
            stress(es, ns, l[0], l[1], a) / 1e3,
            stress(eh, nh, r[2], r[3], c) / 1e3,
            (stress(es, ns, r[0], r[1], b) - stress(eh, nh, l[2], l[3], b)) / 1e3,
            (l[2] - r[0] - delta / 2) * 1e3])

    x = np.linspace(0, 1, 201)
    sol = solve_bvp(rhs, ends, x, np.zeros((4, x.size)), tol=1e-10, max_nodes=100000)
    assert sol.success
    y0, y1 = sol.sol(0), sol.sol(1)
    p = -stress(es, ns, y1[0], y1[1], b)
    # The hoop stress over the wall, added up, is what the parting face loses.
    s = np.linspace(0, 1, 4001)
    y, r = sol.sol(s), a + s * (b - a)
    hoop = es / (1 - ns * ns) * (y[0] / r + ns * y[1])
    face = -np.trapz(hoop, r) * width
    return dict(bore=bore, outer=outer, wall=wall, width=width, housing_modulus=eh, housing_poisson=nh,
                shell_modulus=es, shell_poisson=ns, interference=delta, pressure=p,
                housing_growth=2 * y0[2], bore_change=delta + 2 * y0[0], face_load=face)


def excess(rng):
    nominal = dict(housing_bore=57.0, journal=53.958, upper_shell=1.5, lower_shell=1.5)
    names = list(nominal)
    parts, measured = {}, {}
    for n in names:
        t = rng.integers(2, 20) / 1000
        parts[n] = [round(nominal[n] - t, 6), round(nominal[n] + t + rng.integers(0, 4) / 1000, 6)]
        if rng.random() < 0.35:
            measured[n] = [round(nominal[n] + rng.normal() * 0.006, 4), float(rng.integers(1, 4)) / 1000]
    case = dict(parts=parts, measured=measured, clearance=[round(0.042 + rng.normal() * 0.02, 4), float(rng.integers(2, 6)) / 1000])
    if rng.random() < 0.5:
        case["as_found"] = [round(0.050 + rng.normal() * 0.02, 4), float(rng.integers(2, 6)) / 1000]
    mid = np.array([np.mean(parts[n]) for n in names] + [np.mean(parts[n]) for n in names[2:]])
    var = np.array([(parts[n][1] - parts[n][0]) ** 2 / 12 for n in names + names[2:]])
    for i, n in enumerate(names):
        if n in measured:
            mid[i], var[i] = measured[n][0], measured[n][1] ** 2
    rows, values, noise = [[1, -1, -1, -1, 0, 0]], [case["clearance"][0]], [case["clearance"][1] ** 2]
    if "as_found" in case:
        rows.append([1, -1, 0, 0, -1, -1])
        values.append(case["as_found"][0])
        noise.append(case["as_found"][1] ** 2)
    h, w = np.array(rows, float), np.diag(1 / np.array(noise))
    cov = np.linalg.inv(np.diag(1 / var) + h.T @ w @ h)
    mean = cov @ (mid / var + h.T @ w @ np.array(values))
    case["predicted_mm"] = float(h[0] @ mid)
    case["shift_um"] = [float(v) for v in 1000 * (mean - mid)[:4]]
    case["sd_um"] = [float(v) for v in 1000 * np.sqrt(np.diag(cov))[:4]]
    return case


def solve(need, u, l):
    """Least largest departure, then least sum of squares, by class."""
    classes = [np.unique(v, return_counts=True) for v in (need, u, l)]
    a, x, y = (c[0] for c in classes)
    i, j, k = (g.ravel() for g in np.meshgrid(range(a.size), range(x.size), range(y.size), indexing="ij"))
    d = a[i] - x[j] - y[k]

    def run(cost, allowed):
        n = int(allowed.sum())
        cons = []
        for which, (vals, counts), exact in ((i, classes[0], True), (j, classes[1], len(u) == len(need)), (k, classes[2], len(l) == len(need))):
            rows = csr_matrix((np.ones(n), (which[allowed], np.arange(n))), shape=(vals.size, n))
            cons.append(LinearConstraint(rows, counts if exact else 0, counts))
        r = milp(cost[allowed], constraints=cons, integrality=np.ones(n), bounds=Bounds(0, np.inf), options=dict(mip_rel_gap=0))
        return round(r.fun) if r.success else None

    lo, hi = 0, int(np.abs(d).max())
    while lo < hi:
        mid = (lo + hi) // 2
        if run(np.zeros(d.size), np.abs(d) <= mid) is None:
            lo = mid + 1
        else:
            hi = mid
    return lo, run((d * d).astype(float), np.abs(d) <= lo)


def pairing(rng, n, m, wall_step, outlier):
    bore, journal = rng.integers(-8, 9, n), rng.integers(-8, 9, n)
    if outlier:
        bore[n // 3] += 25
    u, l = (rng.integers(-4, 5, m) // wall_step * wall_step for _ in range(2))
    largest, squares = solve(bore - journal, u, l)
    whole = lambda base, v: [int(base + x) for x in v]
    return dict(bore_um=whole(57000, bore), journal_um=whole(53958, journal), upper_um=whole(1500, u), lower_um=whole(1500, l),
                target_um=42, largest_departure_um=largest, sum_of_squares_um2=squares)


rng = np.random.default_rng(20)
crushes = [crush(57, 72, 1.5, 20, 206e3, 0.3, 206e3, 0.3, 0.035), crush(57, 90, 1.5, 22, 72e3, 0.33, 206e3, 0.3, 0.05),
           crush(50.6, 66, 1.4, 18, 114e3, 0.34, 206e3, 0.3, 0.03), crush(120, 170, 3.5, 45, 170e3, 0.27, 200e3, 0.29, 0.09)]
cases = [excess(rng) for _ in range(25)]
sets = [pairing(rng, n, m, step, out) for n, m, step, out in
        [(16, 16, 1, False)] * 3 + [(16, 16, 1, True)] * 3 + [(10, 14, 1, False)] * 2 + [(16, 16, 3, False)] * 3 + [(12, 16, 2, True)] * 3 + [(6, 6, 1, False)] * 6]
print(json.dumps(dict(crush=crushes, excess=cases, pairing=sets), indent=1))
