#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Choosing shells: witnessmark beside CBC, on the same sets, in one run.

    go build -o /tmp/witnessmark ./cmd/witnessmark
    python3 scripts/bench/pair_cbc.py /tmp/witnessmark

Needs coinor-cbc (Debian). Makes invented sets (seeded), solves each with both
programs, each in a process of its own on one core, and prints times, their ratio
and whether the answers agree. CBC gets one integer variable for each class of
equal need, upper and lower. It minimises the largest departure by one program per
threshold, by halves from the least any single fit allows, and then the sum of
squares at that threshold: the same two goals, both proven. Its time is the sum of
what it reports itself ('Total time, wallclock'), without starting up and reading
files; witnessmark's is given the same way (--json 'steps' have no time in them,
so: the whole process less a process that only prints its help), and as the whole
process, for which CBC's processes are also given whole.
"""
import argparse
import json
import os
import random
import re
import statistics
import subprocess
import tempfile
import time
from collections import Counter

ONE_CORE = dict(os.environ, GOMAXPROCS="1", OMP_NUM_THREADS="1")


def make(rng, positions, shells, step, spread, wall):
    """A set in units of step µm; spreads in µm."""
    span = lambda w: round(rng.randint(-int(w / step), int(w / step)))
    return dict(step=step, need=[span(spread) - span(spread) for _ in range(positions)],
                upper=[span(wall) for _ in range(shells)], lower=[span(wall) for _ in range(shells)])


def write_yaml(path, s):
    mm = lambda base, v: "%.5f mm" % (base + v * s["step"] / 1000)
    with open(path, "w") as f:
        f.write("target: 0.042 mm\npositions:\n")
        for i, n in enumerate(s["need"]):
            f.write("  - {position: %d, housing_bore: %s, journal: 53.958 mm}\n" % (i + 1, mm(57, n)))
        for half in ("upper", "lower"):
            f.write("%ss:\n" % half)
            for i, w in enumerate(s[half]):
                f.write("  - {id: %s%d, wall: %s}\n" % (half, i + 1, mm(1.5, w)))


def write_lp(path, s, limit, squares):
    groups = [sorted(Counter(s[k]).items()) for k in ("need", "upper", "lower")]
    rows, cost, names = {}, [], []
    for i, (n, _) in enumerate(groups[0]):
        for j, (u, _) in enumerate(groups[1]):
            for k, (l, _) in enumerate(groups[2]):
                d = n - u - l
                if abs(d) > limit:
                    continue
                x = "x%d_%d_%d" % (i, j, k)
                names.append(x)
                cost.append("%d %s" % (d * d if squares else 0, x))
                for which, at in ((0, i), (1, j), (2, k)):
                    rows.setdefault((which, at), []).append(x)
    exact = len(s["need"]) == len(s["upper"])
    with open(path, "w") as f:
        f.write("Minimize\n obj: %s\nSubject To\n" % "\n + ".join(cost or ["0 x0"]))
        for which, group in enumerate(groups):
            for at, (_, count) in enumerate(group):
                have = rows.get((which, at), [])
                if not have:
                    if which == 0 or exact:
                        return False
                    continue
                f.write(" c%d_%d: %s %s %d\n" % (which, at, "\n + ".join(have), "=" if which == 0 or exact else "<=", count))
        f.write("General\n %s\nEnd\n" % "\n ".join(names))
    return True


def cbc_once(folder, s, limit, squares, seconds):
    """Returns (value or None if there is none, seconds CBC reports, seconds of the process)."""
    lp, sol = os.path.join(folder, "p.lp"), os.path.join(folder, "p.sol")
    if not write_lp(lp, s, limit, squares):
        return None, 0.0, 0.0
    began = time.perf_counter()
    out = subprocess.run(["cbc", lp, "threads", "0", "sec", str(seconds), "ratio", "0", "allow", "0", "solve", "solu", sol],
                         capture_output=True, text=True, env=ONE_CORE).stdout
    whole = time.perf_counter() - began
    reported = re.findall(r"Total time \(CPU seconds\):\s+\S+\s+\(Wallclock seconds\):\s+(\S+)", out)
    head = open(sol).readline()
    if "Stopped" in head:
        raise TimeoutError
    if "Infeasible" in head or "infeasible" in head:
        return None, float(reported[-1]) if reported else 0.0, whole
    return round(float(head.split("objective value")[1])), float(reported[-1]) if reported else 0.0, whole


def cbc(folder, s, seconds):
    shortest = lambda n: min(abs(n - u - l) for u in set(s["upper"]) for l in set(s["lower"]))
    lo = max(shortest(n) for n in s["need"])
    hi = max(abs(n - u - l) for n in s["need"] for u in s["upper"] for l in s["lower"])
    reported = whole = 0.0
    step = 1
    while True:  # up from the least that can be, by doubling, then by halves
        got, r, w = cbc_once(folder, s, lo + step - 1, False, seconds)
        reported, whole = reported + r, whole + w
        if got is not None:
            hi = lo + step - 1
            break
        lo, step = lo + step, 2 * step
    while lo < hi:
        mid = (lo + hi) // 2
        got, r, w = cbc_once(folder, s, mid, False, seconds)
        reported, whole = reported + r, whole + w
        lo, hi = (lo, mid) if got is not None else (mid + 1, hi)
    squares, r, w = cbc_once(folder, s, lo, True, seconds)
    return lo, squares, reported + r, whole + w


def ours(program, folder, s):
    path = os.path.join(folder, "p.yaml")
    write_yaml(path, s)
    began = time.perf_counter()
    out = subprocess.run([program, "pair", path, "--json"], capture_output=True, text=True, env=ONE_CORE)
    whole = time.perf_counter() - began
    if out.returncode != 0:
        raise SystemExit(out.stderr)
    began = time.perf_counter()
    subprocess.run([program, "pair", "--help"], capture_output=True, env=ONE_CORE)
    idle = time.perf_counter() - began
    return json.loads(out.stdout), max(0.0, whole - idle), whole


def main():
    p = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    p.add_argument("program")
    p.add_argument("--sets", type=int, default=10, help="of each kind")
    p.add_argument("--seconds", type=int, default=60, help="limit of each CBC program")
    p.add_argument("--fine", action="store_true", help="also sets at 0.1 µm, where CBC takes long")
    a = p.parse_args()
    kinds = [("16 of 16+16, 1 µm", 16, 16, 1, 8, 4), ("10 of 14+14, 1 µm", 10, 14, 1, 8, 4),
             ("16 of 16+16, 1 µm, close bores, wide walls", 16, 16, 1, 1, 8), ("16 of 20+20, 1 µm", 16, 20, 1, 8, 4)]
    if a.fine:
        kinds += [("16 of 16+16, 0.1 µm", 16, 16, 0.1, 8, 4), ("16 of 20+20, 0.1 µm", 16, 20, 0.1, 8, 4)]
    wrong = 0
    print("median (most) ms per set, %d sets of each kind, one core" % a.sets)
    for name, n, m, step, spread, wall in kinds:
        rng, rows, unproven, late = random.Random(1), [], 0, 0
        for _ in range(a.sets):
            s = make(rng, n, m, step, spread, wall)
            with tempfile.TemporaryDirectory() as folder:
                got, mine, mine_whole = ours(a.program, folder, s)
                try:
                    largest, squares, theirs, theirs_whole = cbc(folder, s, a.seconds)
                except TimeoutError:
                    late += 1
                    theirs = theirs_whole = float("nan")
                else:
                    same = abs(got["largest_departure_um"] - largest * step) < 1e-6 and abs(got["sum_of_squares_um2"] - squares * step * step) < 1e-6
                    if got["proven_best"] and not same:
                        wrong += 1
                        print("  differ:", s, got["largest_departure_um"], got["sum_of_squares_um2"], largest, squares)
            unproven += not got["proven_best"]
            rows.append((1000 * mine, 1000 * theirs, 1000 * mine_whole, 1000 * theirs_whole))
        col = lambda k: [r[k] for r in rows if r[1] == r[1]] or [float("nan")]
        med, most = (lambda k: statistics.median(col(k))), (lambda k: max(col(k)))
        print("%-44s solving: witnessmark %.2f (%.2f), CBC %.1f (%.1f); whole processes: witnessmark %.1f (%.1f), CBC %.1f (%.1f), ratio %.1f; "
              "not proven %d, CBC out of time %d" % (name, med(0), most(0), med(1), most(1), med(2), most(2), med(3), most(3), med(3) / med(2), unproven, late))
    print("answers differ: %d" % wrong)
    raise SystemExit(1 if wrong else 0)


if __name__ == "__main__":
    main()
