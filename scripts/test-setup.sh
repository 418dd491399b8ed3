# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
#
# Part of ./test: what the tests need beside Go. A need is a line: how to see
# whether it is there, the Debian package that brings it, and what is left out
# without it.

needs() {
	cat <<'TABLE'
command -v git|git|the list of tracked files
command -v gcc && test -e /usr/include/stdlib.h|gcc libc6-dev|the race detector
command -v chromium|chromium|pages in a real browser
command -v npm|npm|the accessibility rules (axe-core)
command -v pdftotext|poppler-utils|PDF read back
command -v zbarimg|zbar-tools|QR codes read back
command -v strace|strace|power cuts
/usr/bin/python3 -c "import scipy"|python3-scipy|reference values from SciPy
/usr/bin/python3 -c "import icalendar"|python3-icalendar|iCalendar read by another parser
command -v Rscript|r-base-core|reference values from R
Rscript -e "library(survival)"|r-cran-survival|reference values from R's survival
ls /usr/lib/postgresql/*/bin/initdb|postgresql|the store on PostgreSQL
TABLE
}

# The accessibility rules, pinned: version and SHA-512 of the package.
axe_version=4.14.1
axe_sha512=1477dafa598d8d065f273d6af302aa203c02e83131707b7fa648cd41bd3d6b734f8c22a0dab86ee6a6f64b8afbe804b214d36db85a2826965edfb3a0b9d546b5

set_up() {
	install_missing
	local there package what
	while IFS='|' read -r there package what; do
		eval "$there" >/dev/null 2>&1 || leave_out "$what (package ${package% *} is not installed)"
	done < <(needs)
	fetch_axe || leave_out "the accessibility check (axe-core $axe_version could not be fetched)"
	export WITNESSMARK_REQUIRE_ALL=$require_all
	return 0
}

# install_missing installs what is missing, as root on Debian.
install_missing() {
	local there package what missing=()
	while IFS='|' read -r there package what; do
		# shellcheck disable=SC2206 # a need may take two packages
		eval "$there" >/dev/null 2>&1 || missing+=($package)
	done < <(needs)
	((${#missing[@]} == 0)) && return
	if ((EUID != 0)) || ! command -v apt-get >/dev/null; then
		echo "not installed, and only root on Debian installs it here: ${missing[*]}"
		return
	fi
	echo "installing ${missing[*]}"
	export DEBIAN_FRONTEND=noninteractive
	if ! { apt-get update -q && apt-get install -q -y --no-install-recommends "${missing[@]}"; } >"$work/apt" 2>&1; then
		tail -n 20 "$work/apt"
	fi
}

# fetch_axe puts axe-core into the cache unless it is there.
fetch_axe() {
	local dir="${XDG_CACHE_HOME:-$HOME/.cache}/witnessmark/axe-core@$axe_version"
	if [ ! -s "$dir/axe.min.js" ]; then
		command -v npm >/dev/null || return 1
		(cd "$work" && npm pack --silent "axe-core@$axe_version" >/dev/null) || return 1
		echo "$axe_sha512  $work/axe-core-$axe_version.tgz" | sha512sum --check --quiet || return 1
		tar -xzf "$work/axe-core-$axe_version.tgz" -C "$work" package/axe.min.js || return 1
		mkdir -p "$dir" && mv "$work/package/axe.min.js" "$dir/axe.min.js" || return 1
	fi
	export WITNESSMARK_AXE="$dir/axe.min.js"
}
