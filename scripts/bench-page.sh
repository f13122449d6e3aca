#!/bin/sh
# Builds the bench page: one HTML file with the engine inside, which needs no server and
# no network. The same bytes for the same revision.
#
#   scripts/bench-page.sh [FILE]      default: fitcoil-bench.html
set -eu
cd "$(dirname "$0")/.."
file=${1:-fitcoil-bench.html}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Without inlining the engine is a twelfth smaller; model and fit keep it, for speed.
GOOS=js GOARCH=wasm CGO_ENABLED=0 go build -trimpath -buildvcs=false -ldflags="-s -w -buildid=" \
	-gcflags=all=-l -o "$work/engine.wasm" ./cmd/benchpage
go run ./cmd/benchpage/assemble "$work/engine.wasm" "$(go env GOROOT)/lib/wasm/wasm_exec.js" "$work/page.html"
bytes=$(wc -c <"$work/page.html" | tr -d ' ')
mv "$work/page.html" "$file"
printf '%s: %s bytes\n' "$file" "$bytes"
if [ "$bytes" -gt 2500000 ]; then
	echo "more than 2.5 MB: what did the engine link that it doesn't need?" >&2
	exit 1
fi
