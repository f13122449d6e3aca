package model

import "math"

// Change is how one quantity differs between two sessions of the same coil.
type Change struct {
	A, B Estimate
	// Difference is B − A; its uncertainty takes account of the parts that both
	// sessions used, whose errors are the same in both and largely cancel.
	// Undetermined when one of them is.
	Difference Estimate
	Sigmas     float64 // difference over its standard uncertainty
	Moved      bool    // by more than chance: the 95 % interval of the difference leaves out nil
}

// Compare tells which quantities moved between the sessions of a and b. Parts of
// the same name and nominal value are taken as the same physical parts.
func Compare(a, b *Result) []Change {
	var out []Change
	common := sharedParts(a, b)
	for _, lists := range [][2][]Estimate{{a.Parameters, b.Parameters}, {a.Derived, b.Derived}} {
		for _, e := range lists[0] {
			if o := b.Find(e.Name, e.Core, e.Part, e.Hand); o != nil {
				out = append(out, compare(a, b, e, *o, common))
			}
		}
	}
	return out
}

func compare(a, b *Result, x, y Estimate, common [][2]int) Change {
	c := Change{A: x, B: y, Sigmas: math.NaN()}
	d := Estimate{Name: x.Name, Core: x.Core, Part: x.Part, Hand: x.Hand, Unit: x.Unit}
	if !x.Determined || !y.Determined || math.IsNaN(x.Uncertainty) || math.IsNaN(y.Uncertainty) {
		c.Difference = d.forget()
		return c
	}
	shared := 0.0
	if len(common) > 0 {
		first, second := a.sensitivity(&x), b.sensitivity(&y)
		for _, rows := range common {
			shared += first[rows[0]] * second[rows[1]]
		}
	}
	variance := func(u, v float64) float64 { return math.Sqrt(math.Max(0, u*u+v*v-2*shared)) }
	d.Value, d.Determined = y.Value-x.Value, true
	d.Uncertainty, d.Stated = variance(x.Uncertainty, y.Uncertainty), variance(x.Stated, y.Stated)
	k := math.Max(a.coverageFactor(x.Budget), b.coverageFactor(y.Budget))
	d.Interval = interval(d.Value, d.Uncertainty, k, false)
	c.Difference = d
	c.Sigmas = d.Value / d.Uncertainty
	c.Moved = d.Interval[0] > 0 || d.Interval[1] < 0
	return c
}

// sharedParts lists the prior rows, in a and in b, of the parts that both sessions
// used, in the order of a's log.
func sharedParts(a, b *Result) (rows [][2]int) {
	in := map[Part]int{}
	for i := range b.problem.origins {
		if p, ok := b.problem.onTop(i); ok {
			in[p] = i
		}
	}
	for i := range a.problem.origins {
		p, ok := a.problem.onTop(i)
		if !ok {
			continue
		}
		if k, ok := in[p]; ok {
			rows = append(rows, [2]int{i, k})
		}
	}
	return rows
}

// onTop returns what prior row i speaks of that may be on the top of another session's coil:
// a part, the lot of some, or the clip, taken for the same.
func (p *problem) onTop(i int) (part Part, ok bool) {
	if k := p.priorOf[i]; k >= 0 {
		return p.parts[k], true
	}
	if k := i - len(p.origins) + len(p.knowns); k >= 0 {
		return Part{Name: LeadCapacitance}, p.knowns[k].Name == LeadCapacitance
	}
	if p.origins[i] == fromCommon {
		before := 0
		for _, o := range p.origins[:i] {
			if o == fromCommon {
				before++
			}
		}
		return Part{Lot: p.lots[before].name}, true
	}
	return Part{Name: LeadCapacitance}, p.assumed[i].Kind == AssumedLead
}

// sensitivity returns by how much e shifts per standard uncertainty of each prior row.
func (r *Result) sensitivity(e *Estimate) []float64 {
	grad := make([]float64, r.problem.n)
	for _, q := range r.problem.quantities() {
		if q.is(e.Name, e.Core, e.Part, e.Hand) || e.Name == StrayCapacitance && q.name == TopCapacitance {
			q.value(r.problem.forward, r.fit.X, grad)
			break
		}
	}
	return r.cov.Along(r.problem.Prior, r.fit.X, grad)
}

// is tells whether q is the quantity of that name and labels.
func (q *quantity) is(name, core, part string, hand float64) bool {
	return q.name == name && q.core == core && q.part == part && q.hand == hand
}
