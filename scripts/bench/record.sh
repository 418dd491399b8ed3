#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Times of the record, pages, reports and traces as a Markdown page, about five
# minutes: bash scripts/bench/record.sh > docs/record-performance.md
#
# Each thing is timed beside what it is held against, in the same run. SECONDS
# that the tablets enter: WITNESSMARK_BENCH_SECONDS (120).
set -eu
cd "$(dirname "$0")/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
began=$(cut -d' ' -f1-3 /proc/loadavg)
go build -trimpath -o "$work/witnessmark" ./cmd/witnessmark
go build -trimpath -o "$work/tablets" ./scripts/bench/tablets
for p in store shop report; do go test -c -trimpath -o "$work/$p.test" "./internal/$p"; done

# bench PACKAGE PATTERN COUNT TIME: runs benchmarks in their package's folder.
bench() { (cd "internal/$1" && "$work/$1.test" -test.run '^$' -test.bench "$2" -test.count "$3" -test.benchtime "$4"); }
# middle OF FIELD: the median of a column over the lines of one benchmark.
middle() { awk -v n="^Benchmark$1(-[0-9]+)?\$" -v f="$2" '$1 ~ n { print $f }' "$work/out" | sort -g | awk '{ v[NR] = $1 } END { print v[int((NR + 1) / 2)] }'; }
ms() { awk -v x="$(middle "$1" 3)" -v d="${2:-2}" 'BEGIN { printf "%.*f", d, x / 1e6 }'; }
# cpu OF: the median of processor milliseconds.
cpu() { grep -E "^Benchmark$1(-[0-9]+)?[[:space:]]" "$work/out" | grep -oE '[0-9.e+-]+ cpu-ms/op' | cut -d' ' -f1 | sort -g | awk '{ v[NR] = $1 } END { printf "%.2f", v[int((NR + 1) / 2)] }'; }

{
	# In turns, so that both meet the same disk.
	for _ in 1 2 3 4 5 6 7; do
		bench store '^Benchmark(BareInsert|Append|AppendOfMany)$' 1 500ms
	done
	bench shop '^BenchmarkJob(Rows|Again)?$' 1 1s
	bench report '^BenchmarkSealedJob$' 1 5x
} >"$work/out"
"$work/tablets" -program "$work/witnessmark" -for "${WITNESSMARK_BENCH_SECONDS:-120}s" >"$work/tablets.out"
/usr/bin/python3 scripts/bench/trace.py "$work/witnessmark" >"$work/trace.out"
ended=$(cut -d' ' -f1-3 /proc/loadavg)

bare=$(middle BareInsert 3)
kept=$(middle Append 3)
together=$(middle AppendOfMany 3)
per_second() { awk -v x="$1" 'BEGIN { printf "%.0f", 1e9 / x }'; }
ratio=$(awk -v a="$bare" -v b="$kept" 'BEGIN { printf "%.2f", a / b }')
cat <<PAGE
<!-- SPDX-License-Identifier: Apache-2.0 -->

# Performance of the record, pages and reports

Written by \`bash scripts/bench/record.sh\`. $(sed -n 's/^cpu: //p' "$work/out" | head -n 1), $(nproc) processors, $(go version | cut -d' ' -f3),
$(findmnt -no FSTYPE -T "$work") under the data folder. Load over 1, 5 and 15 minutes: $began before,
$ended after; whatever else the machine does makes the figures larger, and its
disk is shared. Medians.

## Keeping an entry

One entry, parsed, checked, hashed, committed with WAL and synchronous FULL, beside a
bare prepared INSERT of a line as long into the same table with the same durability,
under ids of the same make:

| what | entries a second |
|---|---|
| bare INSERT, one to a transaction | $(per_second "$bare") |
| an entry | $(per_second "$kept") |
| ratio (aim 0.9) | $ratio |
| entries, 50 clients at once | $(per_second "$together") |

What waits while the disk writes goes in together, so that the disk is waited for once.

## A job from disk to assessment

Nothing in memory but the trials of the same sums: rows read, lines parsed, folded
and assessed against the engine sheet, the tools and the settings (which the row of 3
entries shows alone), beside reading the job's rows and doing nothing with them. Aim
for 2,000: 10 ms. The last column is a server's: one more entry is kept, folded onto
what is in memory, and the job assessed.

| entries | assessed, ms | of processor, ms | rows alone, ms | after one more entry, ms |
|---|---|---|---|---|
$(for n in 3 500 2000 8000; do echo "| $n | $(ms "Job/$n") | $(cpu "Job/$n") | $(ms "JobRows/$n") | $(ms "JobAgain/$n") |"; done)

## Paper

The report of a sealed job with 40 photos of 2 megapixels, no two alike, from disk to
bytes (aim 300 ms): $(ms SealedJob/first 0) ms for the first time, $(ms SealedJob/again 0) ms again.

## Tablets, cold start, memory

Simulated tablets on loopback, each with a person, an open job and its event stream;
they open a page, think for a second on average, and enter a reading or a note. Aims:
entry p99 under 100 ms, none lost; page of a job 60 kB compressed and 10 ms.

\`\`\`
$(cat "$work/tablets.out")
\`\`\`

## Torque-angle traces

\`witnessmark trace\` on one invented file beside NumPy on the same file, each in a
process of its own (aim: under 1 s, 200 MB).

$(cat "$work/trace.out")
PAGE
