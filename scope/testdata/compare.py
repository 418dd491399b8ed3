# SPDX-License-Identifier: Apache-2.0
# Compares two JSON files; numbers may differ in their last digits.
import json
import math
import sys


def same(a, b):
    if isinstance(a, dict):
        return isinstance(b, dict) and a.keys() == b.keys() and all(same(a[k], b[k]) for k in a)
    if isinstance(a, list):
        return isinstance(b, list) and len(a) == len(b) and all(map(same, a, b))
    if isinstance(a, float):
        return math.isclose(a, b, rel_tol=1e-10, abs_tol=1e-12)
    return a == b


with open(sys.argv[1]) as f, open(sys.argv[2]) as g:
    sys.exit(0 if same(json.load(f), json.load(g)) else 1)
