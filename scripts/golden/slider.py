#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Writes fastener/testdata/slider.csv: the slider-crank's second derivative.

SymPy differentiates x(a) = r(1 - cos a) + l(1 - sqrt(1 - (r/l)^2 sin^2 a))
twice by a and evaluates it with 30 digits; the acceleration is that times the
square of the angular speed. Needs python3-sympy.

    python3 scripts/golden/slider.py > fastener/testdata/slider.csv
"""
import sympy as sp

a, r, l = sp.symbols("a r l", positive=True)
x = r * (1 - sp.cos(a)) + l * (1 - sp.sqrt(1 - (r / l) ** 2 * sp.sin(a) ** 2))
second = sp.diff(x, a, 2)

print(f"# SymPy {sp.__version__}, scripts/golden/slider.py")
print("crank_deg,r_mm,l_mm,rpm,a_mps2")
for radius, rod, rpm in [(40, 140, 6000), (80, 245, 1000), (45, 60, 3000)]:
    omega = sp.pi * rpm / 30
    for deg in range(0, 360, 24):
        value = second.subs({a: sp.pi * deg / 180, r: sp.Rational(radius, 1000), l: sp.Rational(rod, 1000)}) * omega**2
        print(f"{deg},{radius},{rod},{rpm},{float(sp.N(value, 30))!r}")
