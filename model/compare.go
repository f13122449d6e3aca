package model

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
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
	A, B Estimate
	// Difference is B − A; its uncertainty takes account of the parts, known values and
	// priors that both sessions used, whose errors are the same in both and largely cancel.
	// Undetermined when one of them is.
	Difference Estimate
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
// remain with the 5 % for all together (S. Holm, Scandinavian Journal of Statistics 6,
// 1979, 65–70), which holds however they are correlated.
func Compare(a, b *Result) Comparison {
	out := Comparison{SplitA: a.splitDetermined(), SplitB: b.splitDetermined()}
	common := commonErrors(a, b)
	for _, lists := range [][2][]Estimate{{a.Parameters, b.Parameters}, {a.Derived, b.Derived}} {
		for _, e := range lists[0] {
			if o := b.Find(e.Name, e.Core, e.Part, e.Hand); o != nil && !ofBench(e.Name) {
				out.Changes = append(out.Changes, compare(a, b, e, *o, common))
			}
		}
	}
	var tested []*Change
	for i := range out.Changes {
		if c := &out.Changes[i]; finite(c.Chance) {
			tested = append(tested, c)
		}
	}
	out.Tested = len(tested)
	slices.SortStableFunc(tested, func(a, b *Change) int { return cmp.Compare(a.Chance, b.Chance) })
	for i, c := range tested {
		if c.Chance > 0.05/float64(len(tested)-i) {
			break
		}
		c.Moved = true
	}
	return out
}

func compare(a, b *Result, x, y Estimate, common []commonError) Change {
	c := Change{A: x, B: y, Sigmas: math.NaN(), Chance: math.NaN()}
	d := Estimate{Name: x.Name, Core: x.Core, Part: x.Part, Hand: x.Hand, Unit: x.Unit}
	if !x.Determined || !y.Determined || math.IsNaN(x.Uncertainty) || math.IsNaN(y.Uncertainty) {
		c.Difference = d.forget()
		return c
	}
	d.Value, d.Determined = y.Value-x.Value, true
	d.Uncertainty = together(x.Uncertainty, y.Uncertainty, a.along(&x, a.cov), b.along(&y, b.cov), common)
	// Weighing that is best for the enlarged uncertainties isn't for the stated ones: a
	// difference of two can then seem less certain by these, which it is not.
	d.Stated = math.Min(d.Uncertainty, together(x.Stated, y.Stated, a.along(&x, a.stated), b.along(&y, b.stated), common))
	degrees := math.Inf(1)
	if read := square(x.Uncertainty*x.Uncertainty*x.Budget.Readings)/a.fit.ScaleDegrees + square(y.Uncertainty*y.Uncertainty*y.Budget.Readings)/b.fit.ScaleDegrees; read > 0 {
		degrees = square(d.Uncertainty*d.Uncertainty) / read
	}
	d.Interval = interval(d.Value, d.Uncertainty, fit.CoverageFactor(0.95, degrees), false)
	c.Difference = d
	c.Sigmas = d.Value / d.Uncertainty
	if d.Uncertainty > 0 {
		c.Chance = fit.Chance(c.Sigmas, degrees)
	}
	c.Alone = d.Interval[0] > 0 || d.Interval[1] < 0
	return c
}

func square(x float64) float64 { return x * x }

// commonError is an error that two sessions have in common: the prior rows where they
// meet it, and its standard uncertainty, relative to that which each took it to have.
type commonError struct {
	a, b           int
	ofA, ofB, both float64
}

// together returns the standard uncertainty of a difference of two values with
// uncertainties u and v. Those are √(rest² + Σ G²), with G the shift for one standard
// uncertainty of an error; of an error in common, of uncertainty σ, the difference has
// (G_b/u_b − G_a/u_a)·σ.
func together(u, v float64, alongA, alongB []float64, common []commonError) float64 {
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
func commonErrors(a, b *Result) (list []commonError) {
	p, q := a.problem, b.problem
	type name struct {
		part  string
		value float64
	}
	in := map[name]int{}
	for k := range q.parts {
		in[name{q.parts[k].Name, q.parts[k].Capacitance}] = k
	}
	rows := map[int]int{}
	for _, k := range b.partRows() {
		rows[k.part] = k.row
	}
	lots := map[int]bool{} // of a, by row
	for _, k := range a.partRows() {
		first := &p.parts[k.part]
		other, ok := in[name{first.Name, first.Capacitance}]
		if !ok {
			continue
		}
		u, v := first.Uncertainty, q.parts[other].Uncertainty
		if row, ok := rows[other]; ok {
			list = append(list, commonError{k.row, row, u, v, math.Min(u, v)})
		}
		if first, second := a.lotRow(k.part), b.lotRow(other); first >= 0 && second >= 0 && !lots[first] {
			lots[first] = true
			list = append(list, commonError{first, second, u, v, math.Min(u, v)})
		}
	}
	for i := range p.assumed {
		for k := range q.assumed {
			if p.origins[i].believed() && q.origins[k].believed() && p.assumed[i].ofCoil(&q.assumed[k]) {
				u, v := p.assumed[i].Spread, q.assumed[k].Spread
				list = append(list, commonError{i, k, u, v, math.Min(u, v)})
			}
		}
	}
	for i := range p.knowns {
		for k := range q.knowns {
			if p.knowns[i].Known == q.knowns[k].Known {
				list = append(list, commonError{len(p.origins) - len(p.knowns) + i, len(q.origins) - len(q.knowns) + k, 1, 1, 1})
				break
			}
		}
	}
	return list
}

// ofCoil tells whether a and b assume the same of a coil, a core, a hand or a clip, which
// stay what they are from session to session.
func (a *Assumption) ofCoil(b *Assumption) bool {
	return a.Kind == b.Kind && a.Kind != AssumedDrift && slices.Equal(a.Names, b.Names) && a.Spread > 0 && b.Spread > 0
}

// partRow is the prior row of a part's tolerance.
type partRow struct{ row, part int }

func (r *Result) partRows() (list []partRow) {
	for i, p := range r.problem.priorOf {
		if p >= 0 {
			list = append(list, partRow{i, p})
		}
	}
	return list
}

// lotRow returns the prior row of the lot of a part; −1 for none.
func (r *Result) lotRow(part int) int {
	p := r.problem
	at := p.lotAt[part]
	k := slices.IndexFunc(p.lots, func(l lot) bool { return l.at == at })
	if at < 0 || k < 0 {
		return -1
	}
	for i, o := range p.origins {
		if o == fromCommon {
			if k == 0 {
				return i
			}
			k--
		}
	}
	return -1
}

// along returns by how much e shifts per standard uncertainty of each prior row, by
// covariance c.
func (r *Result) along(e *Estimate, c fit.Covariance) []float64 {
	grad := make([]float64, r.problem.n)
	for _, q := range r.problem.quantities() {
		if q.is(e.Name, e.Core, e.Part, e.Hand) || e.Name == StrayCapacitance && q.name == TopCapacitance {
			q.value(r.problem.forward, r.fit.X, grad)
			break
		}
	}
	return c.Along(r.problem.Prior, r.fit.X, grad)
}

// is tells whether q is the quantity of that name and labels.
func (q *quantity) is(name, core, part string, hand float64) bool {
	return q.name == name && q.core == core && q.part == part && q.hand == hand
}
