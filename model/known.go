package model

import (
	"fmt"
	"math"
	"slices"
)

// Known is the value of a quantity known from elsewhere: a meter, a drawing, an
// earlier session. It enters the fit as one more row.
type Known struct {
	Name        string // one of the names above, as EffectiveInductance
	Core, Part  string // which core or part, where the name needs one
	Hand        float64
	Value       float64 // SI
	Uncertainty float64 // SI, standard
}

// UnknownQuantityError tells that a known value names a quantity that the log
// has nothing to do with.
type UnknownQuantityError struct {
	Known Known
	Could []Known // what could have been named; without values
}

func (e *UnknownQuantityError) Error() string {
	return fmt.Sprintf("known value for %s, which no reading depends on", e.Known.Name)
}

// matchKnowns finds the quantity that each known value speaks of, and leaves those
// in open out.
func (p *problem) matchKnowns(known []Known, open []string) error {
	all := p.quantities()
	for _, k := range known {
		if ofBench(k.Name) && k.Uncertainty == 0 {
			continue // see rulesOut
		}
		if !p.match(k, all, open) {
			e := &UnknownQuantityError{Known: k}
			for _, q := range all {
				e.Could = append(e.Could, Known{Name: q.name, Core: q.core, Part: q.part, Hand: q.hand})
			}
			return e
		}
	}
	return nil
}

// matchDrawn is matchKnowns for a drawing, which may know of more than the log.
func (p *problem) matchDrawn(known []Known, open []string) {
	all := p.quantities()
	for _, k := range known {
		p.match(k, all, open)
	}
}

func (p *problem) quantities() []quantity {
	parameters, derived := quantities(p.forward)
	return slices.Concat(parameters, p.driftQuantities(), derived)
}

// match adds the row of k if one of the quantities is what it speaks of, and isn't
// left open.
func (p *problem) match(k Known, all []quantity, open []string) bool {
	for _, q := range all {
		if q.is(k.Name, k.Core, k.Part, k.Hand) {
			if !slices.Contains(open, k.Name) {
				p.knowns = append(p.knowns, knownRow{k, q})
			}
			return true
		}
	}
	return false
}

// knownRows writes the residuals of known values first …: in the logarithm
// where the quantity is positive, so that ±2 % means the same on both sides.
func (p *problem) knownRows(x []float64, first int, r, jac []float64) {
	n := p.width()
	grad := make([]float64, p.n)
	for i := range r {
		k := p.knowns[first+i]
		v := k.q.value(p.forward, x, grad)
		scale := 1 / k.Uncertainty
		if k.q.positive {
			r[i] = math.Log(v/k.Value) * k.Value / k.Uncertainty
			scale *= k.Value / v
		} else {
			r[i] = (v - k.Value) / k.Uncertainty
		}
		if jac != nil {
			row := jac[i*n : (i+1)*n]
			for j := range p.common() {
				row[j] = grad[j] * scale
			}
			if p.owned > 0 {
				row[p.common()] = 0
			}
			if own := p.ownOf(k.q.part); own >= 0 {
				row[p.common()] = grad[p.common()+own] * scale
			}
		}
	}
}

// ownOf returns which of the parts of their own has a name, −1 for none.
func (p *problem) ownOf(name string) int {
	for i, k := range p.partAt {
		if name != "" && k >= p.common() && p.parts[i].Name == name {
			return k - p.common()
		}
	}
	return -1
}

// label names the quantity of an estimate, without its value.
func (e *Estimate) label() Known {
	return Known{Name: e.Name, Core: e.Core, Part: e.Part, Hand: e.Hand}
}
