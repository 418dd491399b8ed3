#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Times of planning and shared cost as a Markdown page:
# bash scripts/bench/scope.sh > docs/scope-performance.md
set -eu
cd "$(dirname "$0")/../.."
out=$(go test -run "^$" -bench . -count 5 ./scope)
middle() { echo "$out" | awk -v n="^Benchmark$1-" '$1 ~ n { print $3 / 1e6 }' | sort -n | sed -n 3p; }
cat <<TABLE
<!-- SPDX-License-Identifier: Apache-2.0 -->

# Performance of scope

Middle of five runs of \`go test -bench . ./scope\`, written by
\`scripts/bench/scope.sh\`. $(echo "$out" | sed -n 's/^cpu: //p'), $(nproc) processors, load $(cut -d' ' -f1 /proc/loadavg)
while it ran (other work on the machine makes the figures larger).

| what | aim, ms | took, ms |
|---|---|---|
| estimate: 500 operations, 100 of 200 pieces of work wanted, 100 offered | 50 | $(middle Estimate) |
| reading that plan (130 kB of YAML, 32 000 tokens; most of it in the YAML library) | | $(middle Load) |
| 100 000 draws of a job of 100 operations with 60 parts | 1000 | $(middle Dates) |
| schedule of j301_1, at most 45 (gives 43) | 5000 | $(middle J301) |
| schedule of twenty jobs of three phases on three lifts and two people | 5000 | $(middle TwentyJobs) |
TABLE
