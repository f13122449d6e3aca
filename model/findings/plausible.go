package findings

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// usual tells whether an inductance [H] and a capacitance [F] are those of a coil
// wound by hand, from a few turns in the air to thousands of turns (common
// practice).
func usual(l, c float64) bool {
	z := math.Sqrt(l / c)
	return l > 50e-9 && l < 3 && c > 0.2e-12 && c < 1e-9 && z > 50 && z < 1e6
}

// conceivable tells whether there may be such a coil, however odd: a straight piece of
// wire of 2 cm has 20 nH, a ball of 1 mm alone 0.06 pF.
func conceivable(l, c float64) bool {
	z := math.Sqrt(l / c)
	return l > 20e-9 && l < 20 && c > 0.06e-12 && z < 3e6 && (z > 25 || c < 2e-9)
}

// CheckPlausible judges what the fit found as a whole: a log in a wrong unit fits as
// well as any. To judge by, a factor of two will do.
func CheckPlausible(r *estimation.Result) []Finding {
	if r.Relative(forward.AtL) > math.Ln2 {
		return nil
	}
	l, c := roughly(r, quantities.Inductance), roughly(r, quantities.EffectiveCapacitance)
	if !(l > 0) || !(c > 0) || conceivable(l, c) {
		return nil
	}
	f := Finding{Kind: Implausible, Value: l, Other: roughly(r, quantities.Impedance)}
	for _, k := range []float64{1e-3, 1e3, 1e-6, 1e6} {
		for _, added := range []bool{false, true} {
			// ω² L C = 1, with C anchored to the parts added
			henry, farad := l/(k*k), c
			if added {
				henry, farad = l/k, c*k
			}
			if f.Slip == nil && usual(henry, farad) {
				f.Slip = &Slip{Added: added, Factor: k, Inductance: henry, Impedance: f.Other / k}
			}
		}
	}
	return []Finding{f}
}

// roughly returns the value of a quantity of the bare coil, however uncertain; NaN
// when the fit has none.
func roughly(r *estimation.Result, name string) float64 {
	for _, q := range r.Problem.Quantities() {
		if q.Name == name {
			return q.Value(r.Problem.Model, r.Solution.X, make([]float64, r.Problem.N))
		}
	}
	return math.NaN()
}

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
