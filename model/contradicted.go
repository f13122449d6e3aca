package model

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"fitcoil/fit"
)

// Pattern says how parts are off that contradict their tolerances together.
type Pattern int

// Patterns.
const (
	Apart     Pattern = iota // each in its own way
	SmallHigh                // the smaller a part, the more it is above its value: something comes with each
	SmallLow                 // the smaller, the more below
	AllHigh                  // all above
	AllLow                   // all below
)

// improbable is the probability below which tolerances are called contradicted: what is left
// of chance after a reading session on each evening of a few years.
const improbable = 1e-3

// tolerancesContradicted tells whether readings, as uncertain as they scatter, and the
// tolerances together are too improbable, and how the parts are off.
func (r *Result) tolerancesContradicted() (f Finding, found bool) {
	p := r.problem
	var rows []int
	for i, o := range p.origins {
		if o == fromTolerance {
			rows = append(rows, i)
		}
	}
	nu := r.fit.DegreesOfFreedom()
	if len(rows) == 0 || nu == 0 {
		return f, false
	}
	scale := r.fit.Scale
	chance := fit.ChiSquareSurvival(r.fit.DataSquares/(scale*scale)+r.fit.PriorSquares, float64(nu))
	if !(chance < improbable) {
		return f, false
	}
	return Finding{Kind: TolerancesContradicted, Value: chance, Pattern: r.pattern(rows)}, true
}

// pattern compares how far parts are off, in their own uncertainties, with how large they
// are.
func (r *Result) pattern(rows []int) Pattern {
	p := r.problem
	if len(rows) < 3 {
		return Apart
	}
	var off, size []float64
	high, low := 0, 0
	for _, i := range rows {
		k := p.priorOf[i]
		e := p.partError(r.fit.X, k)
		off, size = append(off, e), append(size, -math.Log(p.parts[k].Capacitance))
		switch {
		case e > 0.5:
			high++
		case e < -0.5:
			low++
		}
	}
	switch rho := stat.Correlation(size, off, nil); {
	case rho > 0.7:
		return SmallHigh
	case rho < -0.7:
		return SmallLow
	case high > 0 && low == 0:
		return AllHigh
	case low > 0 && high == 0:
		return AllLow
	}
	return Apart
}
