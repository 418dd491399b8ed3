#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A trace file of a million rows: witnessmark beside NumPy, in one run.

    go build -o /tmp/witnessmark ./cmd/witnessmark
    /usr/bin/python3 scripts/bench/trace.py /tmp/witnessmark

Needs python3-numpy. Writes one invented file (seeded) of --rows rows and 16
fasteners to a temporary folder, has both programs find rate, snug point and
yield in it --runs times, each in a process of its own, and prints the median
and range of the time, the processor time (which a busy machine changes less),
the peak memory, and how far the answers differ. The peak of a process counts
from its fork, so this script's own memory is a floor under it. NumPy computes the same definitions: points of a tenth of a degree, the steepest
least-squares line over 20 degrees, and the first angle from which the slope
over 5 degrees stays below half of it for 3.
"""
import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time

import numpy as np


def write(path, rows, fasteners=16):
    rng = np.random.default_rng(1)
    per = rows // fasteners
    with open(path, "w") as f:
        f.write("fastener,angle_deg,torque_Nm\n")
        for b in range(fasteners):
            n = per if b else rows - per * (fasteners - 1)
            a = np.arange(n) * 180 / n
            t = np.interp(a, [0, 40, 120, 180], [2, 2.4, 42.4, 45.4]) + rng.normal(0, 0.3, n)
            f.writelines(f"B{b + 1},{x:.3f},{y:.3f}\n" for x, y in zip(a, t))


def slopes(w, x, y, lo, hi):
    """Least-squares slope of points lo to hi-1, for arrays of lo and hi."""
    def total(v):
        s = np.concatenate(([0.0], np.cumsum(v)))
        return s[hi] - s[lo]
    n = total(w)
    mx, my = total(w * x) / n, total(w * y) / n
    return (total(w * x * y) - n * mx * my) / (total(w * x * x) - n * mx * mx), mx, my


def one(angle, torque):
    cell = np.floor(angle / 0.1).astype(int)
    cell -= cell.min()
    w = np.bincount(cell)
    keep = w > 0
    x = np.bincount(cell, angle)[keep] / w[keep]
    y = np.bincount(cell, torque)[keep] / w[keep]
    w = w[keep].astype(float)
    at = x - x[0]
    end = np.searchsorted(at, at + 20 - 1e-9)
    lo = np.nonzero(end < len(at))[0]
    rate, _, _ = slopes(w, at, y, lo, end[lo] + 1)
    i = int(np.argmax(rate))
    steady = rate[i]
    mid = np.nonzero((at >= at[lo[i]] + 2.5) & (at <= at[-1] - 2.5))[0]
    local, _, _ = slopes(w, at, y, np.searchsorted(at, at[mid] - 2.5 - 1e-9), np.searchsorted(at, at[mid] + 2.5 + 1e-9))
    start = None
    for k, low in zip(mid, local < steady / 2):
        if not low:
            start = None
            continue
        start = k if start is None else start
        if at[k] - at[start] >= 3 - 1e-9:
            return {"rate_Nm_per_deg": steady, "yield_angle_deg": x[start]}
    return {"rate_Nm_per_deg": steady, "yield_angle_deg": None}


def by_numpy(path):
    rows = np.loadtxt(path, delimiter=",", skiprows=1, dtype=[("f", "U8"), ("a", "f8"), ("t", "f8")])
    names, which = np.unique(rows["f"], return_inverse=True)
    json.dump({str(n): one(rows["a"][which == i], rows["t"][which == i]) for i, n in enumerate(names)}, sys.stdout)


def measured(command):
    """Output, seconds, processor seconds and peak memory in MB of one process."""
    begin = time.perf_counter()
    p = subprocess.Popen(command, stdout=subprocess.PIPE)
    out = p.stdout.read()
    _, status, usage = os.wait4(p.pid, 0)
    if os.waitstatus_to_exitcode(status):
        sys.exit(f"{command[0]} failed")
    return out, time.perf_counter() - begin, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def main():
    ap = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ap.add_argument("program", help="the witnessmark program")
    ap.add_argument("--rows", type=int, default=1_000_000)
    ap.add_argument("--runs", type=int, default=5)
    args = ap.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "trace.csv")
        write(path, args.rows)
        print(f"{args.rows} rows, {os.path.getsize(path) / 1e6:.1f} MB, {args.runs} runs each, taken in turns; NumPy {np.__version__}, {os.cpu_count()} cores\n")
        commands = {
            "witnessmark trace": [args.program, "trace", path, "--json"],
            f"NumPy {np.__version__}": [sys.executable, os.path.abspath(__file__), "--numpy", path],
        }
        runs = {name: [] for name in commands}
        for _ in range(args.runs):
            for name, command in commands.items():
                runs[name].append(measured(command))
    print("| program | median s | range s | processor s | peak MB |\n|---|---|---|---|---|")
    for name, r in runs.items():
        seconds = [x[1] for x in r]
        print(f"| {name} | {statistics.median(seconds):.2f} | {min(seconds):.2f} to {max(seconds):.2f} | {statistics.median(x[2] for x in r):.2f} | {max(x[3] for x in r):.0f} |")
    ours, theirs = (json.loads(r[-1][0]) for r in runs.values())
    rate = max(abs(f["rate_Nm_per_deg"] / theirs[f["fastener"]]["rate_Nm_per_deg"] - 1) for f in ours["fasteners"])
    angle = max(abs(f["yield_angle_deg"] - theirs[f["fastener"]]["yield_angle_deg"]) for f in ours["fasteners"])
    print(f"\nLargest difference: rate {rate:.1e} of itself, yield {angle:.1e} degrees.")
    if rate > 1e-6 or angle > 1e-6:
        sys.exit("the answers differ")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--numpy"]:
        by_numpy(sys.argv[2])
    else:
        main()
