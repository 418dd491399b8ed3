# SPDX-License-Identifier: Apache-2.0
"""Time the film side by side with SciPy and NumPy in one run, as Markdown.

    python3 scripts/bench/film_compare.py > docs/film/performance.md

Needs Go and python3-scipy. All figures are processor time, the least of several
runs, because the machine may be shared; wall time only for the sweep on one and
on two workers.
"""
import json
import os
import platform
import re
import subprocess
import sys

HERE = os.path.dirname(os.path.abspath(__file__))


def benchmarks():
    """Least of several runs, by name and metric."""
    out = subprocess.run(["go", "test", "./film", "-run", "^$", "-bench", ".", "-benchtime", "0.5s", "-count", "4"],
                         cwd=os.path.join(HERE, "..", ".."), check=True, capture_output=True, text=True).stdout
    best = {}
    for line in out.splitlines():
        m = re.match(r"Benchmark(\S+?)(?:-\d+)?\s+\d+\s+(.*)", line)
        if not m:
            continue
        f = m[2].split()
        row = best.setdefault(m[1], {})
        for v, unit in zip(f[::2], f[1::2]):
            row[unit] = min(row.get(unit, float("inf")), float(v))
    return best


def main():
    scipy = json.loads(subprocess.run([sys.executable, os.path.join(HERE, "film_scipy.py")], check=True, capture_output=True, text=True).stdout)
    b = benchmarks()
    us = lambda name, unit="cpu-ns/op": b[name][unit] / 1e3
    go_version = subprocess.run(["go", "version"], check=True, capture_output=True, text=True).stdout.split()[2]
    import numpy
    import scipy as sp
    print("<!-- SPDX-License-Identifier: Apache-2.0 -->\n\n# Film: timings\n")
    print(f"Written by `python3 scripts/bench/film_compare.py`. {go_version}, Python {platform.python_version()}, NumPy {numpy.__version__}, "
          f"SciPy {sp.__version__}, {os.cpu_count()} cores. Processor time, least of several runs.\n")
    print("## One converged orbit, least film only\n\n| method | µs | evaluations |\n|---|---|---|")
    for name, title in (("short", "short"), ("map", "map, worst error 0.2 %"), ("map_1_percent", "map, worst error 1 %"),
                        ("map_with_pressure_and_flow", "map with pressure, friction and flow"), ("field_96x8", "field on 96 × 8")):
        r = b["Orbit/" + name]
        print(f"| {title} | {r['cpu-ns/op'] / 1e3:,.0f} | {r['evals/op']:.0f} |")
    print("\nAllocations in every one of them: 0 (a test holds that).\n")
    print("## The same equations in SciPy\n\nThe exact short film over two invented cycles, about 0.1 % of the least film.\n")
    print("| cycle | this | LSODA, tuned | ratio | solve_ivp as it comes | ratio |\n|---|---|---|---|---|---|")
    for c in ("smooth", "firing"):
        own = us("SciPyCases/" + c)
        l, i = scipy[c + "_lsoda"], scipy[c + "_solve_ivp"]
        print(f"| {c} | {own:,.0f} µs | {l['us_per_orbit']:,.0f} µs ({l['error_percent']:+.2f} %) | {l['us_per_orbit'] / own:,.0f} "
              f"| {i['us_per_orbit']:,.0f} µs ({i['error_percent']:+.2f} %) | {i['us_per_orbit'] / own:,.0f} |")
    own = us("SciPyCases/smooth")
    print("\nNumPy with 2,000 orbits at once, RK4 of 240 steps, per orbit on one core:\n\n| mobility | NumPy | ratio |\n|---|---|---|")
    for kind, title in (("exact", "exact integrals"), ("fitted", "the fitted closed form, 5 to 10 % off in mobility")):
        r = scipy["smooth_numpy_2000_" + kind]
        print(f"| {title} | {r['us_per_orbit']:,.0f} µs ({r['error_percent']:+.2f} %) | {r['us_per_orbit'] / own:,.1f} |")
    print("\nThe last row is the honest caveat: an array of simple formulas in NumPy comes near to one core of this.\n")
    print("## Many orbits\n\n| what | processor time | wall time |\n|---|---|---|")
    for name, title in (("Sweep/1_worker", "map of 20 × 20 × 5, 1 worker"), ("Sweep/2_workers", "the same, 2 workers"), ("MonteCarlo", "10,000 samples")):
        print(f"| {title} | {b[name]['cpu-ns/op'] / 1e6:,.1f} ms | {b[name]['ns/op'] / 1e6:,.1f} ms |")
    print("\n## How cost grows\n\nThe engine's load multiplied, method map:\n\n| load × | eccentricity ratio | steps of a period | evaluations | µs |\n|---|---|---|---|---|")
    for k in ("0.1", "0.3", "1", "3", "10"):
        r = b["OrbitByLoad/" + k]
        print(f"| {k} | {r['eccentricity']:.4f} | {r['steps']:.0f} | {r['evals/op']:.0f} | {r['cpu-ns/op'] / 1e3:,.0f} |")
    print("\nOne evaluation:\n\n| film | µs |\n|---|---|")
    for name, title in (("short", "short, exact integrals"), ("map", "map"), ("field_64x6", "field 64 × 6"), ("field_96x8", "field 96 × 8"), ("field_192x12", "field 192 × 12")):
        print(f"| {title} | {us('Velocity/' + name):,.3g} |")


if __name__ == "__main__":
    main()
