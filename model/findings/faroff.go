package findings

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/stable"
)

// wayOff is the relative residual, by root mean square over what is redundant, from which no scatter, drift or
// model is the reason, but what is written of several states: a line errs by less, resonances are
// read to a thousandth (common practice), and none of 100 sessions that scatter by 6e-4 to 6e-3 has it (TestScatterIsNoMistake).
const wayOff = 0.02

// checkFarOff tells of readings that fit no coil by far, and of the lines where they do least. A lumped
// model is no coil, and a robust fit leaves readings aside.
func checkFarOff(r *estimation.Result) (f Finding, found bool) {
	if r.Session.Robust || r.Session.Lumped || !(r.Quality.PValue < contradictory) || !(r.Scatter.Redundancy >= 1) {
		return f, false
	}
	off := func(i int) float64 { return math.Abs(r.Readings[i].Residual / r.Readings[i].Frequency) }
	sum := 0.0
	for _, i := range r.Problem.Rows {
		sum += off(i) * off(i)
	}
	f = Finding{Kind: FitsNoCoil, Value: math.Sqrt(sum / r.Scatter.Redundancy)}
	rows := slices.Clone(r.Problem.Rows)
	stable.Sort(rows, func(a, b int) int { return cmp.Compare(off(b), off(a)) })
	for _, i := range rows[:min(len(rows), 3)] {
		f.Lines = append(f.Lines, r.Readings[i].Line)
	}
	slices.Sort(f.Lines)
	return f, f.Value > wayOff
}
