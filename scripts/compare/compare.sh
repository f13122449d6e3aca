#!/bin/bash
# Times the same fit of 20 readings by fitcoil, by SciPy and by MINPACK in C, and
# prints what each found, the processor time of each and the ratios.
#
#	scripts/compare/compare.sh [ROUNDS]
#
# The problem is model/testdata/uniform-line.csv: a uniform line, three unknowns,
# exact capacitors, analytic derivatives. Times are processor time (user and
# system), which other work on the machine disturbs less than the time on the
# clock; each is the least of ROUNDS (5 if not given), taken in turn. What isn't
# installed is left out: SciPy is python3-scipy, MINPACK libcminpack-dev on Debian.
set -euo pipefail
export LC_ALL=C
cd "$(dirname "$0")/../.."
rounds=${1:-5}
readings=model/testdata/uniform-line.csv
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

# As it is released: without C, or loading the C library is timed along with it.
CGO_ENABLED=0 go build -trimpath -ldflags='-s -w' -o "$scratch/fitcoil" ./cmd/fitcoil
go test -c -o "$scratch/model.test" ./model
python=
for p in python3 /usr/bin/python3; do
	if "$p" -c 'import scipy.optimize' 2>/dev/null; then
		python=$p
		break
	fi
done
minpack=
if flags=$(pkg-config --cflags --libs cminpack 2>/dev/null); then
	# shellcheck disable=SC2086 # several flags
	${CC:-cc} -O2 -o "$scratch/minpack" scripts/compare/line_minpack.c $flags -lm && minpack=yes
fi
[ -n "$python" ] || echo "SciPy is not installed: left out"
[ -n "$minpack" ] || echo "MINPACK for C (cminpack), or a C compiler, is not installed: left out"

# What is timed, each a function that does N fits.
inside_fitcoil() { (cd model && "$scratch/model.test" -test.run '^$' -test.bench 'UniformLine$' -test.benchtime "$1x" >/dev/null); }
inside_minpack() { "$scratch/minpack" $readings "$1" >/dev/null; }
inside_scipy() { "$python" scripts/compare/line_scipy.py $readings "$1" >/dev/null; }
command_fitcoil() { for ((k = 0; k < $1; k++)); do "$scratch/fitcoil" fit --quiet $readings >/dev/null; done; }
command_minpack() { for ((k = 0; k < $1; k++)); do "$scratch/minpack" $readings >/dev/null; done; }
command_scipy() { for ((k = 0; k < $1; k++)); do "$python" scripts/compare/line_scipy.py $readings >/dev/null; done; }

# cpu FUNCTION N prints the processor time of one fit in microseconds.
cpu() {
	local TIMEFORMAT='%U %S'
	{ time "$1" "$2"; } 2>&1 | awk -v n="$2" 'END { printf "%.2f\n", 1e6*($1 + $2)/n }'
}

echo "inductance [H], winding and top capacitance [F]:"
# Of the command, without what it takes a bench to add: the same three unknowns remain.
"$scratch/fitcoil" fit --quiet --json --known lead=0pF±1e-7fF --known drift=0±1e-4ppm $readings |
	awk -F'[:,]' '/"name"/ { name = $2 } /"value"/ && name ~ /"(inductance|winding_capacitance|top_capacitance)"/ && ++n <= 3 { printf "%.9e ", $2 }
		END { print "fitcoil" }'
[ -z "$minpack" ] || "$scratch/minpack" $readings | awk '{ print $1, $2, $3, "MINPACK,", $4, $5 }'
[ -z "$python" ] || "$python" scripts/compare/line_scipy.py $readings | awk '{ print $1, $2, $3, "SciPy,", $7, $8 }'

names="inside_fitcoil:20000 command_fitcoil:20"
[ -z "$minpack" ] || names="$names inside_minpack:20000 command_minpack:20"
[ -z "$python" ] || names="$names inside_scipy:300 command_scipy:3"
declare -A least
for ((round = 0; round < rounds; round++)); do
	for item in $names; do
		name=${item%:*}
		t=$(cpu "$name" "${item#*:}")
		least[$name]=$(awk -v a="${least[$name]:-$t}" -v b="$t" 'BEGIN { print a < b ? a : b }')
	done
done

echo
echo "processor time of a fit, and how many times fitcoil's that is"
for where in inside command; do
	[ $where = inside ] && echo "inside a process that runs already:" || echo "as a command of its own:"
	for who in fitcoil minpack scipy; do
		[ -z "${least[${where}_$who]:-}" ] || awk -v who=$who -v t="${least[${where}_$who]}" -v own="${least[${where}_fitcoil]}" \
			'BEGIN { printf "  %-8s %10.1f µs %8.2f\n", who, t, t/own }'
	done
done
