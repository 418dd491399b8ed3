# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
#
# Part of ./test: the checks that are not one plain command. None of them
# changes the tree.

# files PATTERN...: the project's own files, tracked or new.
files() { git ls-files --cached --others --exclude-standard -- "$@"; }

check_format() {
	local bad
	bad=$(files '*.go' | grep -v '_templ\.go$' | xargs -r ls 2>/dev/null | xargs -r gofmt -l)
	[ -z "$bad" ] || {
		printf 'not formatted:\n%s\n' "$bad"
		return 1
	}
}

# The SQLite driver is C code turned into Go for one version of libc; another
# version may compile and then misbehave.
check_libc() {
	local mod asked got
	mod=$(go list -m -f '{{.GoMod}}' modernc.org/sqlite) || return 1
	asked=$(awk '$1 == "modernc.org/libc" { print $2 }' "$mod")
	got=$(go list -m -f '{{.Version}}' modernc.org/libc) || return 1
	echo "modernc.org/sqlite asks for libc $asked, go.mod has $got"
	[ "$asked" = "$got" ]
}

# Generated pages are made anew in a copy and compared.
check_generated() {
	local copy="$work/generated" f bad=0
	mkdir -p "$copy"
	files '*.templ' | while read -r f; do
		mkdir -p "$copy/$(dirname "$f")" && cp "$f" "$copy/$f"
	done
	[ -n "$(files '*.templ')" ] || return 0
	go tool templ generate -path "$copy" >"$work/templ" 2>&1 || {
		cat "$work/templ"
		return 1
	}
	while read -r f; do
		f=${f%.templ}_templ.go
		cmp -s <(bare "$f") <(bare "$copy/$f") || {
			echo "$f is not what its .templ file generates: run go tool templ generate"
			bad=1
		}
	done < <(files '*.templ')
	return $bad
}

# bare FILE: a generated file without the folder that templ was run in.
bare() { sed 's|FileName: `.*/|FileName: `|' "$1"; }

# Values that a reference program computed are made anew in a copy of their
# folder and compared. Every such folder has a remake.sh.
check_references() {
	local script dir copy bad=0 missing
	missing=$(references_missing)
	while read -r script; do
		dir=$(dirname "$script")
		if [ -n "$missing" ]; then
			leave_out "$script ($missing is not installed)"
			continue
		fi
		copy="$work/references/$dir"
		mkdir -p "$copy" && cp -r "$dir/." "$copy"
		if (cd "$copy" && bash ./remake.sh) >"$work/remake" 2>&1 && diff -r "$dir" "$copy"; then
			echo "ok $script"
		else
			tail -n 20 "$work/remake"
			echo "$script gives something else than what is kept"
			bad=1
		fi
	done < <(files '*/testdata/remake.sh' '*/testdata/**/remake.sh')
	return $bad
}

references_missing() {
	if ! /usr/bin/python3 -c "import scipy" >/dev/null 2>&1; then
		echo "python3-scipy"
	elif ! /usr/bin/python3 -c "import icalendar" >/dev/null 2>&1; then
		echo "python3-icalendar"
	elif ! command -v Rscript >/dev/null; then
		echo "r-base-core"
	fi
}

# One run of all tests. In CI nothing is taken from the cache of results.
run_tests() {
	local flags=(-timeout 25m)
	if command -v gcc >/dev/null; then
		flags+=(-race)
		# A program ends a second late under the detector, and the stories of the
		# command line start it a hundred times.
		export GORACE=atexit_sleep_ms=20
	else
		export CGO_ENABLED=0
	fi
	if [ "${CI-}" = true ]; then flags+=(-count=1); fi
	# The longest packages begin first, or one core idles at the end.
	go test -json "${flags[@]}" ./internal/web ./internal/cli ./internal/report ./internal/faults ./... 2>&1 | go run ./scripts/testlines -count "$work/count" -require-all="$require_all"
}

# Every byte of a bundle changed in turn: under the race detector, which makes a
# signature check twenty times slower, the tests take only some of them.
every_byte() {
	command -v gcc >/dev/null || return 0 # there was no detector
	go test -count=1 ./record
}
