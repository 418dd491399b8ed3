#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# Makes golden.json again with Debian's SciPy and icalendar and compares. Exit 1
# when something differs; with --write the file is replaced instead.
set -eu
python=${PYTHON:-/usr/bin/python3} # the system's, which has Debian's modules
cd "$(dirname "$0")"
new=$(mktemp)
trap 'rm -f "$new"' EXIT
"$python" make_golden.py >"$new"
if [ "${1:-}" = --write ]; then
	cp "$new" golden.json
elif ! "$python" compare.py golden.json "$new"; then
	echo "scope/testdata/golden.json differs from what SciPy and icalendar give now" >&2
	exit 1
fi
