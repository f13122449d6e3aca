#!/bin/sh
# Says what thresholds do: runs a test that prints what is told of simulated sessions or
# captures, once as the program is and once for each other value of a threshold, and shows the
# lines that differ. scripts/thresholds.txt has the thresholds, a line each,
#
#   package of the test; test and flags; file; text; other text; other text
#
# From the top folder, with part of a text to try only those:
#
#   scripts/thresholds.sh [PART]
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
run() { # package, test and flags, output, further flags
	# The flags are words: no quotes.
	go test $4 "./$1" -v -run $2 >"$work/log" 2>&1 || true
	sed 's/ *([0-9.]*s)//; s/\t[0-9.]*s$//; s/\t(cached)$//; s/^.*_test.go:[0-9]*: //' "$work/log" >"$3"
}
grep -v '^#' scripts/thresholds.txt | grep -F -e "${1:-;}" | while IFS=';' read -r package test file text others; do
	trim() { printf '%s' "$1" | sed 's/^ *//; s/ *$//'; }
	package=$(trim "$package") test=$(trim "$test") file=$(trim "$file") text=$(trim "$text")
	base="$work/$(printf '%s' "$package $test" | tr -c 'a-zA-Z0-9' _)"
	[ -e "$base" ] || run "$package" "$test" "$base" ""
	printf '%s\n' "$others" | tr ';' '\n' | while read -r other; do
		other=$(trim "$other")
		TEXT=$text OTHER=$other awk '{ i = index($0, ENVIRON["TEXT"]); if (i && !done) { $0 = substr($0, 1, i - 1) ENVIRON["OTHER"] substr($0, i + length(ENVIRON["TEXT"])); done = 1 } print } END { exit !done }' \
			"$file" >"$work/changed.go" || { echo "$file has no $text" >&2; exit 1; }
		printf '{"Replace":{"%s/%s":"%s"}}' "$PWD" "$file" "$work/changed.go" >"$work/overlay"
		run "$package" "$test" "$work/now" "-overlay=$work/overlay"
		printf '== %s: %s -> %s\n' "$file" "$text" "$other"
		diff "$base" "$work/now" | grep '^[<>]' || echo same
	done
done
