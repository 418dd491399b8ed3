# SPDX-License-Identifier: Apache-2.0
# The beta-PERT by scipy.stats.beta, and feed.ics as another parser reads it
# (Debian: python3-scipy, python3-icalendar).
import json
import sys

import icalendar
from scipy.stats import beta

pert = []
for a, m, b in [(0, 5, 10), (1, 2, 6), (2, 2, 9), (1, 7, 7), (7, 14, 42), (0.8, 1, 1.6)]:
    shape = 1 + 4 * (m - a) / (b - a)
    d = beta(shape, 6 - shape, loc=a, scale=b - a)
    pert.append({
        "least": a, "likely": m, "most": b, "mean": d.mean(), "variance": d.var(),
        "x": [a + (b - a) * k / 5 for k in range(1, 5)],
        "cdf": [d.cdf(a + (b - a) * k / 5) for k in range(1, 5)],
        "q": [0.05, 0.5, 0.9],
        "quantile": [d.ppf(q) for q in (0.05, 0.5, 0.9)],
    })

with open("feed.ics", "rb") as f:
    feed = icalendar.Calendar.from_ical(f.read())
events = []
for e in feed.walk("VEVENT"):
    events.append({
        "uid": str(e["UID"]), "summary": str(e["SUMMARY"]), "description": str(e.get("DESCRIPTION", "")),
        "location": str(e.get("LOCATION", "")), "status": str(e.get("STATUS", "")), "sequence": int(e["SEQUENCE"]),
        "start": e.decoded("DTSTART").isoformat(), "end": e.decoded("DTEND").isoformat(),
        "stamp": e.decoded("DTSTAMP").isoformat(),
    })
json.dump({
    "pert": pert,
    "feed": {"product": str(feed["PRODID"]), "name": str(feed["NAME"]), "version": str(feed["VERSION"]), "events": events,
             "errors": [str(x) for e in feed.walk() for x in e.errors]},
}, sys.stdout, indent=1, ensure_ascii=False)
print()
