# SPDX-License-Identifier: Apache-2.0
"""Time the film side by side with SciPy and NumPy in one run, as Markdown.

    python3 scripts/bench/film_compare.py > docs/film/performance.md

Needs Go and Debian's python3-scipy (its interpreter is /usr/bin/python3), and a minute or two. Orbits are processor time, the
least of several runs, because the machine may be shared; what all cores do
together is wall time, which counts only on a machine that does nothing else: the
load average before and after stands on the page.
"""
import json
import os
import platform
import re
import subprocess
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
TOP = os.path.join(HERE, "..", "..")


def benchmarks(pattern, *flags):
    """Least of several runs, by name (with the cores behind it) and metric."""
    out = subprocess.run(["go", "test", "./film", "-run", "^$", "-bench", pattern, *flags],
                         cwd=TOP, check=True, capture_output=True, text=True).stdout
    best = {}
    for line in out.splitlines():
        m = re.match(r"Benchmark(\S+)\s+\d+\s+(.*)", line)
        if not m:
            continue
        name = m[1] if re.search(r"-\d+$", m[1]) else m[1] + "-1"
        f = m[2].split()
        row = best.setdefault(name, {})
        for v, unit in zip(f[::2], f[1::2]):
            row[unit] = min(row.get(unit, float("inf")), float(v))
    return best


def table(*head):
    print("\n| " + " | ".join(head) + " |\n|" + "---|" * len(head))


def line(*cells):
    print("| " + " | ".join(str(c) for c in cells) + " |")


def main():
    before = os.getloadavg()[0]
    cores = os.cpu_count()
    scipy = json.loads(subprocess.run([sys.executable, os.path.join(HERE, "film_scipy.py")], check=True, capture_output=True, text=True).stdout)
    b = {}
    # Many short runs rather than few long ones: the least of them is the one that
    # nobody disturbed.
    for pattern, time, count in (("^BenchmarkOrbit$/^(short|map)", "500x", 30), ("^BenchmarkOrbit$/^field", "2x", 15), ("^BenchmarkOrbitBy(Load|Steps)$", "200x", 15),
                                 ("^BenchmarkOrbitByGrid$", "1x", 10), ("^BenchmarkVelocity$", "0.02s", 15), ("^BenchmarkSciPyCases$", "300x", 20),
                                 ("^BenchmarkMonteCarlo$", "3x", 20)):
        b.update({re.sub(r"-\d+$", "", k): v for k, v in benchmarks(pattern, "-benchtime", time, "-count", str(count)).items()})
    each = ",".join(str(n) for n in range(1, cores + 1))
    many = benchmarks("^BenchmarkOrbitsAllCores$", "-benchtime", "1000x", "-count", "60", "-cpu", each)
    many.update(benchmarks("^BenchmarkSweepAllCores$", "-benchtime", "1x", "-count", "40", "-cpu", each))
    after = os.getloadavg()[0]
    us = lambda name, unit="cpu-ns/op": b[name][unit] / 1e3
    go_version = subprocess.run(["go", "version"], check=True, capture_output=True, text=True).stdout.split()[2]
    import numpy
    import scipy as sp
    print("<!-- SPDX-License-Identifier: Apache-2.0 -->\n\n# Film: timings\n")
    print(f"Written by `python3 scripts/bench/film_compare.py`. {go_version}, Python {platform.python_version()}, NumPy {numpy.__version__}, "
          f"SciPy {sp.__version__}, {cores} cores; load average {before:.1f} before and {after:.1f} after. One orbit is processor time, what all cores do "
          "together is wall time, each the least of ten to sixty runs. A load above the number of cores makes both longer than they need be, the second most.")

    print("\n## One converged orbit, least film only\n\nWorst errors over 144 cases, held by a test (the field's by its mesh).")
    table("method", "µs", "films", "allocations")
    for name, title in (("short", "short, worst error 0.2 %"), ("map", "map, worst error 0.2 %"), ("map_closer", "map, worst error 0.15 %"), ("map_1_percent", "map, worst error 1 %"),
                        ("map_with_pressure_and_flow", "map with pressure, friction and flow"), ("field_96x8", "field on 96 × 8")):
        r = b["Orbit/" + name]
        line(title, f"{r['cpu-ns/op'] / 1e3:,.1f}", f"{r['evals/op']:.0f}", f"{r['allocs/op']:.0f}")

    print("\n## Many orbits, by cores")
    table("cores", "map orbits a second, each from nothing", "a map of 20 × 20 × 5", "times as fast")
    one = many["SweepAllCores-1"]["ns/op"]
    for n in range(1, cores + 1):
        orbits, sweep = many[f"OrbitsAllCores-{n}"]["ns/op"], many[f"SweepAllCores-{n}"]["ns/op"]
        line(n, f"{1e9 / orbits:,.0f}", f"{sweep / 1e9:.3f} s", f"{one / sweep:.2f}")
    print(f"\nIn the map every orbit starts from its neighbour's. 10,000 samples of a Monte Carlo: {b['MonteCarlo']['cpu-ns/op'] / 1e6:.1f} ms of processor time, "
          "because they read a curve of orbits.")

    print("\n## The same equations in SciPy\n\nThe exact short film over two invented cycles, about 0.1 % of the least film.")
    table("cycle", "this", "LSODA, tuned", "ratio", "solve_ivp as it comes", "ratio")
    for c in ("smooth", "firing"):
        own = us("SciPyCases/" + c)
        l, i = scipy[c + "_lsoda"], scipy[c + "_solve_ivp"]
        line(c, f"{own:,.0f} µs", f"{l['us_per_orbit']:,.0f} µs ({l['error_percent']:+.2f} %)", f"{l['us_per_orbit'] / own:,.0f}",
             f"{i['us_per_orbit']:,.0f} µs ({i['error_percent']:+.2f} %)", f"{i['us_per_orbit'] / own:,.0f}")
    own = us("SciPyCases/smooth")
    print("\nNumPy with 2,000 orbits at once, RK4 of 240 steps, per orbit on one core:")
    table("mobility", "NumPy", "ratio")
    for kind, title in (("exact", "exact integrals"), ("fitted", "the fitted closed form, 5 to 10 % off in mobility")):
        r = scipy["smooth_numpy_2000_" + kind]
        line(title, f"{r['us_per_orbit']:,.0f} µs ({r['error_percent']:+.2f} %)", f"{r['us_per_orbit'] / own:,.1f}")
    print("\nThe last row is the honest caveat: an array of simple formulas in NumPy comes within a factor of two or so of one core of this.")

    print("\n## How cost grows\n\nWith eccentricity: the engine's load multiplied, method map.")
    table("load ×", "eccentricity ratio", "steps of a period", "films", "µs")
    for k in ("0.1", "0.3", "1", "3", "10"):
        r = b["OrbitByLoad/" + k]
        line(k, f"{r['eccentricity']:.4f}", f"{r['steps']:.0f}", f"{r['evals/op']:.0f}", f"{r['cpu-ns/op'] / 1e3:,.0f}")
    print("\nWith steps: the tolerance, method map.")
    table("tolerance", "steps of a period", "films", "µs")
    for k in ("0.01", "0.001", "0.0003", "0.0001", "1e-05", "1e-06"):
        r = b["OrbitBySteps/" + k]
        line(k, f"{r['steps']:.0f}", f"{r['evals/op']:.0f}", f"{r['cpu-ns/op'] / 1e3:,.0f}")
    print("\nWith the grid: one orbit of the field method.")
    table("mesh", "films", "ms")
    for k in ("48x4", "64x6", "96x8", "128x10"):
        r = b["OrbitByGrid/" + k]
        line(k.replace("x", " × "), f"{r['evals/op']:.0f}", f"{r['cpu-ns/op'] / 1e6:,.1f}")
    print("\nOne film, each waiting for the last:")
    table("film", "µs")
    for name, title in (("short", "short, exact integrals"), ("map", "map; short from its table takes as long"), ("field_64x6", "field 64 × 6"), ("field_96x8", "field 96 × 8"), ("field_192x12", "field 192 × 12")):
        line(title, f"{us('Velocity/' + name):,.3g}")


if __name__ == "__main__":
    main()
