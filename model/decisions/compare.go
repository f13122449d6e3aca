package decisions

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// Comparison is what two sessions of one coil say of it.
type Comparison struct {
	Changes []Change
	Tested  int // changes that have a number
	// SplitA and SplitB tell whether a session knows inductance and capacitance apart:
	// without, only their product compares.
	SplitA, SplitB bool
}

// Change is how one quantity differs between two sessions of the same coil.
type Change struct {
	A, B quantities.Estimate
	// Difference is B − A; its uncertainty takes account of the parts, known values and
	// priors that both sessions used, whose errors are the same in both and largely cancel.
	// Undetermined when one of them is.
	Difference quantities.Estimate
	Sigmas     float64 // difference over its standard uncertainty
	Chance     float64 // probability of as large a difference where nothing moved; NaN without one
	Moved      bool    // by more than chance, with all the changes tested taken together
	Alone      bool    // by more than chance if it were the only one tested: 95 %
}

// Compare tells which quantities moved between the sessions of a and b. Parts of
// the same name and nominal value are taken as the same physical parts, and a value
// known in both as one.
//
// Of n quantities tested at 95 % each, n/20 would move by chance; Moved are those that
// remain with the 5 % for all together (see holm).
func Compare(a, b *estimation.Result) Comparison {
	out := Comparison{SplitA: a.SplitDetermined(), SplitB: b.SplitDetermined()}
	common := commonErrors(a, b)
	for _, lists := range [][2][]quantities.Estimate{{a.Parameters, b.Parameters}, {a.Derived, b.Derived}} {
		for _, e := range lists[0] {
			if o := b.Find(e.Key); o != nil && o.Covered == e.Covered && !quantities.OfBench(e.Name) {
				out.Changes = append(out.Changes, compare(a, b, e, *o, common))
			}
		}
	}
	var chances []float64
	for i := range out.Changes {
		chances = append(chances, out.Changes[i].Chance)
	}
	fails, tested := holm(chances)
	for i, moved := range fails {
		out.Changes[i].Moved = moved
	}
	out.Tested = tested
	return out
}

func compare(a, b *estimation.Result, x, y quantities.Estimate, common []commonError) Change {
	c := Change{A: x, B: y, Sigmas: math.NaN(), Chance: math.NaN()}
	d := quantities.Estimate{Key: x.Key, Unit: x.Unit}
	if !x.Determined || !y.Determined || math.IsNaN(x.Uncertainty) || math.IsNaN(y.Uncertainty) {
		c.Difference = d.Forget()
		return c
	}
	d.Value, d.Determined = y.Value-x.Value, true
	d.Uncertainty = differenceUncertainty(x.Uncertainty, y.Uncertainty, along(a, &x, a.Covariance), along(b, &y, b.Covariance), common)
	// Weighing that is best for the enlarged uncertainties isn't for the stated ones: a
	// difference of two can then seem less certain by these, which it is not.
	d.Stated = math.Min(d.Uncertainty, differenceUncertainty(x.Stated, y.Stated, along(a, &x, a.StatedCovariance), along(b, &y, b.StatedCovariance), common))
	degrees := math.Inf(1)
	if read := square(x.Uncertainty*x.Uncertainty*x.Budget.Readings)/a.Solution.ScaleDegrees + square(y.Uncertainty*y.Uncertainty*y.Budget.Readings)/b.Solution.ScaleDegrees; read > 0 {
		degrees = square(d.Uncertainty*d.Uncertainty) / read
	}
	d.Cover(degrees, false)
	c.Difference = d
	c.Sigmas = d.Value / d.Uncertainty
	if d.Uncertainty > 0 {
		c.Chance = fit.Chance(c.Sigmas, degrees)
	}
	c.Alone = d.Interval[0] > 0 || d.Interval[1] < 0
	return c
}

// holm tells which of several tests fail at 5 % for all together, from the probability of each
// by chance (S. Holm, Scandinavian Journal of Statistics 6, 1979, 65–70), which holds however
// they are correlated. NaN is no test.
func holm(chances []float64) (fails []bool, tested int) {
	var order []int
	for i, p := range chances {
		if quantities.Finite(p) {
			order = append(order, i)
		}
	}
	stable.Sort(order, func(a, b int) int { return cmp.Compare(chances[a], chances[b]) })
	fails = make([]bool, len(chances))
	for k, i := range order {
		if chances[i] > 0.05/float64(len(order)-k) {
			break
		}
		fails[i] = true
	}
	return fails, len(order)
}

func square(x float64) float64 { return x * x }

// commonError is an error that two sessions have in common: the prior rows where they
// meet it, and its standard uncertainty, relative to that which each took it to have.
type commonError struct {
	a, b           int
	ofA, ofB, both float64
}

// differenceUncertainty returns the standard uncertainty of a difference of two values with
// uncertainties u and v. Those are √(rest² + Σ G²), with G the shift for one standard
// uncertainty of an error; of an error in common, of uncertainty σ, the difference has
// (G_b/u_b − G_a/u_a)·σ.
func differenceUncertainty(u, v float64, alongA, alongB []float64, common []commonError) float64 {
	variance := u*u + v*v
	for _, e := range common {
		first, second := alongA[e.a], alongB[e.b]
		variance += square((second/e.ofB-first/e.ofA)*e.both) - square(first) - square(second)
	}
	return math.Sqrt(math.Max(0, variance))
}

// commonErrors lists what both sessions err by alike: parts of the same name and nominal
// value, of which the smaller tolerance holds, since a part has one; what the lot of such
// parts has in common; what is assumed of the coil, its cores, a hand and the clip; and known
// values that are the same in both. In the order of a's log.
func commonErrors(a, b *estimation.Result) (list []commonError) {
	p, q := a.Problem, b.Problem
	type name struct {
		part  string
		value float64
	}
	in := map[name]int{}
	for k := range q.Parts {
		in[name{q.Parts[k].Name, q.Parts[k].Capacitance}] = k
	}
	rows := map[int]int{} // of b, by part
	for row, part := range q.PriorOf {
		rows[part] = row
	}
	lots := map[int]bool{} // of a, by row
	for row, part := range p.PriorOf {
		if part < 0 {
			continue
		}
		first := &p.Parts[part]
		other, ok := in[name{first.Name, first.Capacitance}]
		if !ok {
			continue
		}
		u, v := p.Wide*first.Uncertainty, q.Wide*q.Parts[other].Uncertainty
		if same, ok := rows[other]; ok {
			list = append(list, commonError{row, same, u, v, math.Min(u, v)})
		}
		if first, second := lotRow(p, part), lotRow(q, other); first >= 0 && second >= 0 && !lots[first] {
			lots[first] = true
			list = append(list, commonError{first, second, u, v, math.Min(u, v)})
		}
	}
	for i := range p.Assumed {
		for k := range q.Assumed {
			if p.Origins[i].IsPrior() && q.Origins[k].IsPrior() && ofCoil(&p.Assumed[i], &q.Assumed[k]) {
				u, v := p.Assumed[i].Spread, q.Assumed[k].Spread
				list = append(list, commonError{i, k, u, v, math.Min(u, v)})
			}
		}
	}
	for i := range p.Knowns {
		for k := range q.Knowns {
			if p.Knowns[i].Known == q.Knowns[k].Known {
				list = append(list, commonError{len(p.Origins) - len(p.Knowns) + i, len(q.Origins) - len(q.Knowns) + k, 1, 1, 1})
				break
			}
		}
	}
	return list
}

// ofCoil tells whether a and b assume the same of a coil, a core, a hand or a clip, which
// stay what they are from session to session.
func ofCoil(a *estimation.Assumption, b *estimation.Assumption) bool {
	return a.Kind == b.Kind && a.Kind != estimation.AssumedDrift && slices.Equal(a.Names, b.Names) && a.Spread > 0 && b.Spread > 0
}

// lotRow returns the prior row of the lot of a part; −1 for none.
func lotRow(p *estimation.Problem, part int) int {
	k := slices.IndexFunc(p.Lots, func(l forward.Lot) bool { return l.At == p.LotAt[part] })
	if k < 0 {
		return -1
	}
	return slices.Index(p.Origins, estimation.FromCommon) + k
}

// along returns by how much e shifts per standard uncertainty of each prior row, by
// covariance c.
func along(r *estimation.Result, e *quantities.Estimate, c fit.Covariance) []float64 {
	grad := make([]float64, r.Problem.N)
	for _, q := range r.Problem.Quantities() {
		if q.Key == e.Key || e.Name == quantities.StrayCapacitance && q.Name == quantities.TopCapacitance {
			q.Value(r.Problem.Model, r.Solution.X, grad)
			break
		}
	}
	return fit.Must(c.Along(r.Problem.Prior, r.Solution.X, grad))
}
