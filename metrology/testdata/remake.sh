#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Makes the golden files again with SciPy and R from Debian and compares.
# Exit 1 when something differs; with --write the files are replaced instead.
set -eu
python=${PYTHON:-/usr/bin/python3} # the system's, which has Debian's SciPy
cd "$(dirname "$0")"
new=$(mktemp -d)
trap 'rm -rf "$new"' EXIT
"$python" make_golden.py >"$new/golden.json"
Rscript --vanilla study.R >"$new/study.json"
for f in golden.json study.json; do
	if [ "${1:-}" = --write ]; then
		cp "$new/$f" "$f"
	elif ! "$python" compare.py "$f" "$new/$f"; then
		echo "metrology/testdata/$f differs from what SciPy and R give now" >&2
		exit 1
	fi
done
