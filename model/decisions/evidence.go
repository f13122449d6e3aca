package decisions

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// evidence is what a candidate adds to a fit: the gradient of a standardised residual,
// with the readings' uncertainties enlarged as now and as stated.
type evidence struct {
	now, stated []float64
	known       bool    // of a value measured, not of a reading
	hand        float64 // m, distance read; 0: none
}

// newEvidence returns what candidate c adds to the fit.
func newEvidence(r *estimation.Result, c *Candidate) evidence {
	p := r.Problem
	row := make([]float64, p.N)
	switch c.Kind {
	case MeasurePart: // its value takes the place of the tolerance, whose row is 1 over what it is enlarged by
		if k := p.PartAt[c.Part]; k >= 0 {
			row[k] = p.Relative(c.Part) / c.Relative
			if l := p.LotAt[c.Part]; l >= 0 { // the lot's error is in it too
				own, common := p.Split(c.Part)
				row[l] = common * row[k]
				row[k] *= own
			} else if p.Parts[c.Part].Known {
				row[k] = math.Sqrt(math.Max(0, row[k]*row[k]-1/square(p.Wide)))
			}
		}
		return evidence{row, row, true, 0}
	case MeasureWinding:
		row[forward.AtL] = 1 / c.Relative
		return evidence{row, row, true, 0}
	}
	s := c.State
	bought := math.Sqrt(c.New[0] * c.New[1]) // the middle of a range
	s.Exact += bought
	s.Clip = s.Clip || bought > 0
	f := p.Frequency(r.Solution.X, &s, row)
	if p.Drift >= 0 {
		_, row[p.Drift] = p.Drifted(r.Solution.X, p.Afterwards())
	}
	m := p.Alone(r.Solution.X, &s)
	own := 0.0
	if c.Kind == ReadNew { // nothing else has its error
		p.At(r.Solution.X, &s)
		own = p.Resonance.PerTop * bought * c.Relative
	}
	switch {
	case !quantities.Finite(f, own) || !quantities.Finite(row...):
		clear(row)
	case c.Kind == ReadState && readInDigits(r, &s): // only the difference of the two is new
		drift := 0.0
		if p.Drift >= 0 {
			drift = row[p.Drift] / math.Sqrt2
		}
		clear(row)
		if p.Drift >= 0 {
			row[p.Drift] = drift
		}
	}
	over := func(u float64) []float64 {
		out := slices.Clone(row)
		for i := range out {
			out[i] /= -math.Hypot(math.Hypot(u, m), own)
		}
		return out
	}
	u := r.TypicalUncertainty()
	return evidence{over(u), over(u / r.Scatter.Scale), false, s.Nearness()}
}

// readInDigits tells whether s was read, and is as uncertain as the digits written: where
// readings scatter no more than stated, another one has the same rounding error.
func readInDigits(r *estimation.Result, s *readings.State) (found bool) {
	if r.Scatter.Scale > 1 {
		return false
	}
	for _, i := range r.Problem.Rows {
		if o := &r.Session.Log.Readings[i]; readings.Same(&o.State, s) {
			if !o.FromDigits || o.Repeats != nil {
				return false
			}
			found = true
		}
	}
	return found
}

// withRows returns r as it would be with further rows.
func withRows(r *estimation.Result, rows []evidence) *estimation.Result {
	e := *r
	var now, stated [][]float64
	for _, o := range rows {
		now, stated = append(now, o.now), append(stated, o.stated)
	}
	e.Covariance, e.StatedCovariance, e.Apart = fit.Must(r.Covariance.With(now...)), fit.Must(r.StatedCovariance.With(stated...)), true
	e.Shares = r.Problem.SharesOf(e.Covariance, e.Solution.X)
	for _, o := range rows {
		if o.hand > 0 { // the law is then read there
			e.Problem = readAt(e.Problem, o.hand)
		}
		if o.known {
			if err := e.Shares.Add(o.now, int(estimation.FromKnown)); err != nil {
				panic(err)
			}
		}
	}
	return &e
}

// readAt returns p with one more distance of a hand read.
func readAt(p *estimation.Problem, d float64) *estimation.Problem {
	q, f := *p, *p.Model
	f.Distances = append(slices.Clip(f.Distances), d)
	slices.Sort(f.Distances)
	f.Distances = slices.Compact(f.Distances)
	q.Model = &f
	return &q
}
