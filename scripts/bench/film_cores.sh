#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
#
# scripts/bench/film_cores.sh [RUNS]
#
# How the sweep scales with cores and that the inner loops allocate nothing:
# runs the map of 20 × 20 × 5 on one core, two, and so on up to all of them, and
# prints wall time and the speed-up against one, then the orbits with their
# allocations. Wall time counts only on a machine that does nothing else.
set -eu
cd "$(dirname "$0")/../.."
runs=${1:-3}
echo "| cores | time of a 20 × 20 × 5 map | times as fast |"
echo "|---|---|---|"
one=
for n in $(seq 1 "$(nproc)"); do
  ns=$(GOMAXPROCS=$n go test ./film -run '^$' -bench 'BenchmarkSweepAllCores$' -count "$runs" | awk '/^Benchmark/ {if (!best || $3 < best) best = $3} END {printf "%.0f", best}')
  one=${one:-$ns}
  awk -v n="$n" -v ns="$ns" -v one="$one" 'BEGIN {printf "| %d | %.3f s | %.2f |\n", n, ns / 1e9, one / ns}'
done
echo
go test ./film -run '^$' -bench 'BenchmarkOrbit$' -benchtime 200x | awk '/^Benchmark/ {for (i = 2; i <= NF; i++) if ($i == "allocs/op") print "- " $1 ": " $(i - 1) " allocations"}'
