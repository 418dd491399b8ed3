#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Times of planning and shared cost as a Markdown page:
# bash scripts/bench/scope.sh > docs/scope-performance.md
set -eu
cd "$(dirname "$0")/../.."
out=$(go test -run "^$" -bench . -count 5 ./scope)
middle() { echo "$out" | awk -v n="^Benchmark$1-" '$1 ~ n { print $3 / 1e6 }' | sort -n | sed -n 3p; }

# The plan of the benchmarks, for whole processes: processor time of ten, each
# with 100 pieces of work wanted and 100 offered, beside ten that only start.
tmp=$(mktemp -d); trap 'rm -rf "$tmp"' EXIT
go build -o "$tmp/witnessmark" ./cmd/witnessmark
awk 'BEGIN {
  print "currency: EUR\nlabour_rate: 96\ntax_percent: 20\noperations:"
  for (i = 0; i < 500; i++) {
    printf "  - id: op%d\n    title: Operation %d\n    strip: 0.3 h\n    refit: 0.4 h\n    tools: [tool%d]\n    disturbs: [seal%d]\n    caution: Mind your head\n", i, i, i % 20, i
    if (i) printf "    needs: [op%d, op%d]\n", int(i * 2 / 3), int(i / 2)
  }
  print "work:"
  for (i = 0; i < 200; i++) printf "  - {id: w%d, title: Work %d, hours: 1.5 h, needs: [op%d, op%d], with: [w%d], parts: [{part: p%d, quantity: 2}]}\n", i, i, i, 499 - i * 2, i % 2 ? i - 1 : i + 1, i
  print "parts:"
  for (i = 0; i < 200; i++) printf "  - {id: p%d, title: Part %d, price: 12.50, lead: {least: 1 d, likely: 2 d, most: 6 d}}\n", i, i
}' > "$tmp/big.yaml"
ids() { seq -s, -f 'w%g' "$1" "$2"; }
# The quickest of three times ten, so that other work on the machine counts less.
once() { TIMEFORMAT='%U %S'; { time for _ in 1 2 3 4 5 6 7 8 9 10; do "$@" > /dev/null 2>&1; done; } 2>&1 | awk '{ printf "%.0f\n", ($1 + $2) * 100 }'; }
ten() { for _ in 1 2 3; do once "$@"; done | sort -n | head -n 1; }
whole=$(ten "$tmp/witnessmark" scope "$tmp/big.yaml" --want "$(ids 0 99)" --offer "$(ids 100 199)" --json)
start=$(ten "$tmp/witnessmark" version)
cat <<TABLE
<!-- SPDX-License-Identifier: Apache-2.0 -->

# Performance of scope

Middle of five runs of \`go test -bench . ./scope\`, written by
\`scripts/bench/scope.sh\`. $(echo "$out" | sed -n 's/^cpu: //p'), $(nproc) processors, load $(cut -d' ' -f1 /proc/loadavg)
while it ran (other work on the machine makes the figures larger).

| what | aim, ms | took, ms |
|---|---|---|
| estimate: 500 operations, 100 of 200 pieces of work wanted, 100 offered | 50 | $(middle Estimate) |
| reading that plan (130 kB of YAML, 18 000 values; most of it in the YAML library) | | $(middle Load) |
| the whole program, \`witnessmark scope big.yaml --want w0,… --offer w100,… --json\` with that plan: processor time, mean of ten, the least of three such; starting alone (\`witnessmark version\`) takes $start, ratio $(awk "BEGIN { printf \"%.1f\", $whole / $start }") | 50 | $whole |
| 100 000 draws of a job of 100 operations with 60 parts | 1000 | $(middle Dates) |
| schedule of j301_1, at most 45 (gives 43) | 5000 | $(middle J301) |
| schedule of twenty jobs of three phases on three lifts and two people | 5000 | $(middle TwentyJobs) |

What the whole program takes beside its start is the YAML library's scanner and
parser for the most part. The aim is $(((whole <= 50)) && echo met || echo "not met") at this load.
TABLE
