package estimation

import (
	"math"

	"fitcoil/model/coupling"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// startCouplings finds where to begin with the couplings, once all else has a start.
func (p *Problem) startCouplings(log readings.Log, x []float64) {
	for i := range p.Couplings {
		c := &p.Couplings[i]
		x[c.At] = couplingGuess
		rise, ok := p.mean(log, func(r *readings.Reading) (float64, bool) {
			return math.Log(r.Frequency / p.openFrequency(log, x, r)), r.Primary.Kind == readings.PrimaryShorted && p.Coupled(&r.State) == c
		})
		if ok {
			x[c.At] = rise
		}
		for _, t := range c.Tuned {
			x[t.At] = math.Log(p.Ideal(x, &readings.State{Core: c.Core, From: c.From, To: c.To, Hand: math.Inf(1)}, nil))
			p.startTuned(log, x, c, t, ok)
		}
	}
}

// couplingGuess is ln(f_short/f_open) where nothing is known: of k = 0.14.
const couplingGuess = 0.01

// couplingSigma is the standard uncertainty with which that stands where a fit doesn't
// converge without: couplings up to 0.25.
const couplingSigma = 0.02

// startTuned finds the primary's own frequency, and the coupling unless that is known,
// from the first pair of peaks.
func (p *Problem) startTuned(log readings.Log, x []float64, c *forward.CoupledUnknown, t forward.TunedUnknown, known bool) {
	var lower *readings.Reading
	for _, i := range p.Rows {
		r := &log.Readings[i]
		if r.Primary.Kind != readings.PrimaryTuned || p.Coupled(&r.State) != c || r.Primary.Capacitance != t.Farad {
			continue
		}
		if !r.Primary.Upper {
			lower = r
			continue
		}
		if lower == nil {
			continue
		}
		k, own := coupling.OfSplit(p.openFrequency(log, x, r), lower.Frequency, r.Frequency)
		if !quantities.Finite(k, own) || !(k > 0) {
			x[t.At] = (math.Log(lower.Frequency) + math.Log(r.Frequency)) / 2
			return
		}
		x[t.At] = math.Log(own)
		if !known {
			x[c.At] = -math.Log1p(-k*k) / 2
		}
		return
	}
}

// openFrequency returns the frequency of the state of r with the primary open: as read,
// or else as the model has it at x.
func (p *Problem) openFrequency(log readings.Log, x []float64, r *readings.Reading) float64 {
	open := r.State
	open.Primary = readings.Primary{}
	for _, i := range p.Rows {
		if o := &log.Readings[i]; readings.Same(&o.State, &open) {
			return o.Frequency
		}
	}
	return p.Ideal(x, &open, nil)
}

// mean averages the positive values that what gives for the used readings.
func (p *Problem) mean(log readings.Log, what func(r *readings.Reading) (v float64, ok bool)) (v float64, ok bool) {
	var sum, n float64
	for _, i := range p.Rows {
		if v, ok := what(&log.Readings[i]); ok && v > 0 && !math.IsInf(v, 1) {
			sum += v
			n++
		}
	}
	return sum / n, n > 0
}
