# shellcheck shell=bash
# SPDX-License-Identifier: Apache-2.0
#
# Part of ./test: the demo command as README has it, on a free port, until its
# first page answers; then it has 5 seconds to stop.

run_demo() {
	local port answer="" stopped=1 tries
	grep -q 'go run ./cmd/witnessmark demo' README.md || {
		echo "README.md no longer says: go run ./cmd/witnessmark demo"
		return 1
	}
	port=$(free_port)
	# A session of its own, so that the signal reaches what go run has started.
	setsid go run ./cmd/witnessmark demo --addr "127.0.0.1:$port" >"$work/demo" 2>&1 &
	local group=$!
	for ((tries = 0; tries < 600; tries++)); do
		answer=$(ask "$port") && break
		kill -0 "$group" 2>/dev/null || break
		sleep 0.2
	done
	echo "/ answers: ${answer:-nothing}"
	kill -TERM -- "-$group" 2>/dev/null
	for ((tries = 0; tries < 50; tries++)); do
		kill -0 -- "-$group" 2>/dev/null || {
			stopped=0
			break
		}
		sleep 0.1
	done
	if ((stopped != 0)); then
		echo "the demo did not stop within 5 s of SIGTERM"
		kill -KILL -- "-$group" 2>/dev/null
	fi
	wait "$group" 2>/dev/null
	[[ $answer == HTTP/1.?\ [23]* ]] && ((stopped == 0)) || {
		tail -n 20 "$work/demo"
		return 1
	}
}

# ask PORT: the first line of the answer to GET /.
ask() {
	local line
	exec 9<>"/dev/tcp/127.0.0.1/$1" || return 1
	printf 'GET / HTTP/1.0\r\nHost: 127.0.0.1\r\n\r\n' >&9
	IFS=$'\r' read -r -t 5 line _ <&9
	exec 9>&-
	[ -n "${line-}" ] && echo "$line"
} 2>/dev/null

# free_port: a port that nothing listens on.
free_port() {
	local port
	while :; do
		port=$((20000 + RANDOM % 12000))
		(exec 9<>"/dev/tcp/127.0.0.1/$port") 2>/dev/null || break
	done
	echo "$port"
}
