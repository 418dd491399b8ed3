#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Choosing shells beside CBC, and draws of a clearance beside NumPy, as a Markdown page.

    /usr/bin/python3 scripts/bench/pair.py > docs/pair-performance.md

Needs coinor-cbc and python3-numpy (Debian) and Go. Sets are invented (seeded) and
those of pair_cbc.py. Every figure is processor time (user and system, from wait4),
so that other work on the machine counts as little as can be: set after set both
programs take turns, and the ratio is that of the two on the same set. Ours is the
process that solves less one that only prints its help; CBC's is what its processes
take less as many that solve an empty program.
"""
import json
import os
import platform
import random
import re
import statistics
import subprocess
import sys
import tempfile

import numpy

sys.path.insert(0, os.path.dirname(__file__))
import pair_cbc  # noqa: E402

SETS, SEED = 10, 1
KINDS = [("16 of 16 + 16, 1 µm", 16, 16, 1, 8, 4, 50), ("10 of 14 + 14, 1 µm", 10, 14, 1, 8, 4, 20),
         ("16 of 16 + 16, 1 µm, bores alike, walls apart", 16, 16, 1, 1, 8, 50)]
FINE = [("16 of 16 + 16, 0.1 µm", 16, 16, 0.1, 8, 4), ("16 of 20 + 20, 0.1 µm, spares", 16, 20, 0.1, 8, 4), ("10 of 14 + 14, 0.1 µm, spares", 10, 14, 0.1, 8, 4)]


def cpu(args):
    """Runs a process; gives its output and its processor time in ms."""
    with tempfile.TemporaryFile() as out:
        p = subprocess.Popen(args, stdout=out, stderr=subprocess.DEVNULL, env=pair_cbc.ONE_CORE)
        _, status, use = os.wait4(p.pid, 0)
        p.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        return out.read().decode(), 1000 * (use.ru_utime + use.ru_stime), p.returncode


def ours(program, folder, s):
    path = os.path.join(folder, "p.yaml")
    pair_cbc.write_yaml(path, s)
    out, took, code = cpu([program, "pair", path, "--json"])
    if code not in (0, 1):
        raise SystemExit("witnessmark pair ended with %d" % code)
    idle = statistics.median(cpu([program, "pair", "--help"])[1] for _ in range(3))
    return json.loads(out), max(0.0, took - idle), took


class CBC:
    """CBC's goals of pair_cbc.py, with its processes' time counted here."""

    def __init__(self, folder):
        self.folder, self.took, self.runs = folder, 0.0, 0
        self.empty = os.path.join(folder, "empty.lp")
        with open(self.empty, "w") as f:
            f.write("Minimize\n obj: x\nSubject To\n c: x >= 1\nGeneral\n x\nEnd\n")

    def once(self, folder, s, limit, squares, seconds):
        lp, sol = os.path.join(folder, "p.lp"), os.path.join(folder, "p.sol")
        if not pair_cbc.write_lp(lp, s, limit, squares):
            return None, 0.0, 0.0
        _, took, _ = cpu(["cbc", lp, "threads", "0", "sec", str(seconds), "ratio", "0", "allow", "0", "solve", "solu", sol])
        self.took, self.runs = self.took + took, self.runs + 1
        head = open(sol).readline()
        if "Stopped" in head:
            raise TimeoutError
        if "nfeasible" in head:
            return None, 0.0, 0.0
        return round(float(head.split("objective value")[1])), 0.0, 0.0

    def solve(self, s):
        pair_cbc.cbc_once, kept = self.once, pair_cbc.cbc_once
        try:
            largest, squares, _, _ = pair_cbc.cbc(self.folder, s, 60)
        finally:
            pair_cbc.cbc_once = kept
        idle = statistics.median(cpu(["cbc", self.empty, "threads", "0", "solve"])[1] for _ in range(3))
        return largest, squares, max(0.0, self.took - self.runs * idle)


def spread(xs):
    return "%.2f (%.2f to %.2f)" % (statistics.median(xs), min(xs), max(xs))


def kind(program, name, n, m, step, wide, wall, aim):
    rng, mine, theirs, ratios, same, proven = random.Random(SEED), [], [], [], 0, 0
    for _ in range(SETS):
        s = pair_cbc.make(rng, n, m, step, wide, wall)
        with tempfile.TemporaryDirectory() as folder:
            got, took, _ = ours(program, folder, s)
            largest, squares, cbc = CBC(folder).solve(s)
        same += abs(got["largest_departure_um"] - largest * step) < 1e-6 and abs(got["sum_of_squares_um2"] - squares * step * step) < 1e-6
        proven += got["proven_best"]
        mine.append(took)
        theirs.append(cbc)
        ratios.append(cbc / max(took, 0.1))
    print("| %s | %d | %s | %s | %s | %d of %d | %d of %d |" % (name, aim, spread(mine), spread(theirs), "%.0f" % statistics.median(ratios), proven, SETS, same, SETS))


def fine(program, name, n, m, step, wide, wall):
    rng, mine, proven, apart = random.Random(SEED), [], 0, []
    for _ in range(SETS):
        s = pair_cbc.make(rng, n, m, step, wide, wall)
        with tempfile.TemporaryDirectory() as folder:
            got, took, _ = ours(program, folder, s)
        mine.append(took)
        proven += got["proven_best"]
        apart.append(got["largest_departure_um"] - got["bound_um"])
    print("| %s | %s | %d of %d | %.2f |" % (name, spread(mine), proven, SETS, max(apart)))


NUMPY = """
import numpy, sys, time
rng, n = numpy.random.default_rng(1), int(sys.argv[1])
began = time.process_time()
for _ in range(n):
    c = rng.normal(51.0, 0.002, 10**6) - rng.normal(47.99, 0.0015, 10**6) - rng.uniform(1.484, 1.486, 10**6) - rng.uniform(1.484, 1.486, 10**6)
    c.mean(), c.std(ddof=1), numpy.quantile(c, [0.025, 0.975])
print(1000 * (time.process_time() - began) / n)
"""


def draws(folder):
    """Processor ms of a million draws, ours and NumPy's, taking turns."""
    test = os.path.join(folder, "metrology.test")
    subprocess.run(["go", "test", "-c", "-o", test, "./metrology"], check=True)
    run = lambda n: cpu([test, "-test.run", "^$", "-test.bench", "MillionClearances", "-test.benchtime", "%dx" % n])[1]
    mine, theirs = [], []
    for _ in range(7):
        mine.append((run(21) - run(1)) / 20)
        theirs.append(float(cpu([sys.executable, "-c", NUMPY, "20"])[0]))
    return mine, theirs


def main():
    machine = re.search(r"model name\s*:\s*(.*)", open("/proc/cpuinfo").read())
    cbc = re.search(r"Version: (\S+)", subprocess.run(["cbc", "-quit"], capture_output=True, text=True).stdout)
    os.chdir(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", ".."))
    with tempfile.TemporaryDirectory() as folder:
        program = os.path.join(folder, "witnessmark")
        subprocess.run(["go", "build", "-o", program, "./cmd/witnessmark"], check=True)
        print("""<!-- SPDX-License-Identifier: Apache-2.0 -->

# Performance of pairing and of draws

Written by `/usr/bin/python3 scripts/bench/pair.py > docs/pair-performance.md`, which says how.
%s, %d processors, %s, load %.1f when it began: **processor time**, one core, the two programs taking
turns on the same sets, for other work ran on the machine. CBC %s, NumPy %s, Python %s, from Debian.

## Proven best, beside CBC

%d invented sets of each kind. CBC gets one integer variable for each class of equal need, upper and lower, and the same two goals:
the largest departure by one program per threshold, then the sum of squares there. ms per set: median (least to most).

| set | aim, ms | witnessmark | CBC | ratio, median | proven | answers alike |
|---|---|---|---|---|---|---|""" % (machine.group(1) if machine else platform.machine(), os.cpu_count(), platform.system(), os.getloadavg()[0],
                                     cbc.group(1) if cbc else "of unknown version", numpy.__version__, platform.python_version(), SETS))
        for k in KINDS:
            kind(program, *k)
        print("""
## At 0.1 µm and with spares

Best found with its bound; the aim is 1 s. CBC is not run on these here (`pair_cbc.py --fine` does).

| set | ms per set | proven | most that the best found is over its bound, µm |
|---|---|---|---|""")
        for k in FINE:
            fine(program, *k)
        mine, theirs = draws(folder)
        print("""
## A million draws of a clearance from parts

Bore less journal less two walls, two normal and two rectangular inputs: draws, mean, standard deviation and the 95 %% interval. ms: median (least
to most) of seven rounds of twenty, the two taking turns; the aim is 100 ms.

| witnessmark | NumPy | ratio of the medians |
|---|---|---|
| %s | %s | %.1f |""" % (spread(mine), spread(theirs), statistics.median(theirs) / statistics.median(mine)))


main()
