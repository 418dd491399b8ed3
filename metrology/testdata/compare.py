# SPDX-License-Identifier: Apache-2.0
"""compare.py OLD NEW: the two JSON files agree but for rounding, or exit 1."""
import json
import math
import sys


def differ(a, b, where):
    if isinstance(a, dict) and isinstance(b, dict):
        if a.keys() != b.keys():
            return ["%s: keys differ" % where]
        return [d for k in a for d in differ(a[k], b[k], "%s.%s" % (where, k))]
    if isinstance(a, list) and isinstance(b, list):
        if len(a) != len(b):
            return ["%s: %d and %d values" % (where, len(a), len(b))]
        return [d for i, (x, y) in enumerate(zip(a, b)) for d in differ(x, y, "%s[%d]" % (where, i))]
    if isinstance(a, (int, float)) and isinstance(b, (int, float)):
        same = math.isclose(a, b, rel_tol=1e-8, abs_tol=1e-300)
    else:
        same = a == b
    return [] if same else ["%s: %r and %r" % (where, a, b)]


old, new = (json.load(open(p)) for p in sys.argv[1:3])
found = differ(old, new, "")
for line in found[:20]:
    print(line)
sys.exit(1 if found else 0)
