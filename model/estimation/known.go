package estimation

import (
	"math"
	"slices"

	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// matchKnowns finds the quantity that each known value speaks of, and leaves those
// in open out.
func (p *Problem) matchKnowns(known []quantities.Known, open []string) error {
	all := p.Quantities()
	for _, k := range known {
		if quantities.OfBench(k.Name) && k.Uncertainty == 0 {
			continue // see quantities.RulesOut
		}
		if !p.match(k, all, open, false) {
			e := &quantities.UnknownQuantityError{Known: k}
			for _, q := range all {
				e.Could = append(e.Could, quantities.Known{Key: q.Key})
			}
			return e
		}
	}
	return nil
}

// matchDrawn is matchKnowns for a drawing, which may know of more than the log.
func (p *Problem) matchDrawn(known []quantities.Known, open []string) {
	all := p.Quantities()
	for _, k := range known {
		p.match(k, all, open, true)
	}
}

// Quantities lists all that the unknowns give, parameters first.
func (p *Problem) Quantities() []forward.Quantity {
	parameters, derived := forward.Quantities(p.Model)
	return slices.Concat(parameters, p.DriftQuantities(), derived)
}

// quantityOf returns that of all which a key names; ok is false where none is.
func quantityOf(key quantities.Key, all []forward.Quantity) (q forward.Quantity, ok bool) {
	i := slices.IndexFunc(all, func(q forward.Quantity) bool { return q.Key == key })
	if i < 0 {
		return q, false
	}
	return all[i], true
}

// match adds the row of k if one of the quantities is what it speaks of, and isn't
// left open.
func (p *Problem) match(k quantities.Known, all []forward.Quantity, open []string, drawn bool) bool {
	q, ok := quantityOf(k.Key, all)
	if ok && !slices.Contains(open, k.Name) {
		p.Knowns = append(p.Knowns, knownRow{k, q, drawn})
	}
	return ok
}

// DriftQuantities is the drift, if x holds it: relative from the first reading to the last,
// or per hour where the hours are known.
func (p *Problem) DriftQuantities() []forward.Quantity {
	if p.Drift < 0 {
		return nil
	}
	unit, per := "1", forward.DriftSigma
	if from, to := p.Log.Span(); p.Log.Hours {
		unit, per = "1/h", forward.DriftSigma/(to-from)
	}
	return []forward.Quantity{{Key: quantities.Key{Name: quantities.Drift}, Unit: unit, HasPrior: true, Value: forward.Linear(p.Drift, per)}}
}

// knownRows writes the residuals of known values first …: in the logarithm
// where the quantity is positive, so that ±2 % means the same on both sides.
func (p *Problem) knownRows(x []float64, first int, r, jac []float64) {
	n := p.Width()
	grad := make([]float64, p.N)
	for i := range r {
		k := p.Knowns[first+i]
		v := k.q.Value(p.Model, x, grad)
		scale := 1 / k.Uncertainty
		if k.q.Positive {
			r[i] = math.Log(v/k.Value) * k.Value / k.Uncertainty
			scale *= k.Value / v
		} else {
			r[i] = (v - k.Value) / k.Uncertainty
		}
		if jac != nil {
			row := jac[i*n : (i+1)*n]
			for j := range p.Common() {
				row[j] = grad[j] * scale
			}
			if p.Owned > 0 {
				row[p.Common()] = 0
			}
			if own := p.ownOf(k.q.Part); own >= 0 {
				row[p.Common()] = grad[p.Common()+own] * scale
			}
		}
	}
}
