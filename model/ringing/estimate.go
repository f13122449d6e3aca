package ringing

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

// estimator turns the fit of a ring into estimates.
type estimator struct {
	ring     *ring
	factor   float64 // of the 95 % interval
	oneSided float64 // of the 95 % bound
}

func (r *ring) estimator() estimator {
	degrees := math.Max(1, r.colour.degrees)
	return estimator{ring: r, factor: fit.CoverageFactor(0.95, degrees), oneSided: fit.CoverageFactor(0.90, degrees)}
}

// with returns value with the uncertainty that its gradient gives it.
func (e estimator) with(value float64, unit string, grad gradient) quantities.Estimate {
	return e.estimate(value, e.ring.u(grad), unit)
}

func (e estimator) estimate(value, u float64, unit string) quantities.Estimate {
	return quantities.Estimate{Value: value, Unit: unit, Uncertainty: u,
		Interval: [2]float64{value - e.factor*u, value + e.factor*u}, Determined: true}
}

// tone works out the estimates of tone k.
func (e estimator) tone(k int) Tone {
	p := e.ring.fit
	t := p.tones[k]
	natural := math.Hypot(t.omega, t.alpha) // ω₀² = ω² + α²
	out := Tone{
		Frequency: e.with(t.omega/(2*math.Pi), "Hz", gradient{2 * k, []float64{1 / (2 * math.Pi)}}),
		Natural:   e.with(natural/(2*math.Pi), "Hz", naturalGradient(k, t)),
		Damping:   e.with(t.alpha, "1/s", gradient{2*k + 1, []float64{1}}),
		Amplitude: e.amplitude(k),
	}
	out.Quality, out.QualityAtLeast = e.quality(k, out.Damping)
	if u := out.Damping.Uncertainty; !(out.Damping.Value > 0 && u < vague*out.Damping.Value) {
		out.Damping = undetermined("1/s")
		// The correction from damped to undamped is of second order in the
		// damping: without a damping there is none.
		out.Natural = out.Frequency
	}
	return out
}

// quality returns Q = ω₀/(2α) with the interval that follows from that of α,
// which is nearly symmetric where Q's is not, and the value that Q exceeds
// with 95 % confidence.
func (e estimator) quality(k int, damping quantities.Estimate) (q quantities.Estimate, atLeast float64) {
	t := e.ring.fit.tones[k]
	of := func(alpha float64) float64 { return math.Hypot(t.omega, alpha) / (2 * alpha) }
	if most := t.alpha + e.oneSided*damping.Uncertainty; most > 0 {
		atLeast = of(most)
	}
	lo, hi := damping.Interval[0], damping.Interval[1]
	if !(t.alpha > 0 && damping.Uncertainty < vague*t.alpha) {
		return undetermined("1"), atLeast
	}
	q = e.with(of(t.alpha), "1", qualityGradient(k, t))
	q.Interval = [2]float64{of(hi), math.Inf(1)}
	if lo > 0 {
		q.Interval[1] = of(lo)
	}
	return q, atLeast
}

func (e estimator) amplitude(k int) quantities.Estimate {
	value, u := e.ring.amplitude(k)
	return e.estimate(value, u, "V")
}

// widen adds a relative standard uncertainty that all times share.
func widen(e *quantities.Estimate, relative float64) {
	if !e.Determined || relative == 0 {
		return
	}
	u := math.Hypot(e.Uncertainty, relative*e.Value)
	grow := 1.0
	if e.Uncertainty > 0 {
		grow = u / e.Uncertainty
	}
	e.Interval[0] = e.Value - (e.Value-e.Interval[0])*grow
	e.Interval[1] = e.Value + (e.Interval[1]-e.Value)*grow
	e.Uncertainty = u
}

func (e estimator) offset() quantities.Estimate {
	tones := len(e.ring.fit.tones)
	return e.with(e.ring.fit.coef[2*tones], "V", gradient{4 * tones, []float64{1}})
}

func undetermined(unit string) quantities.Estimate { return quantities.Estimate{Unit: unit}.Forget() }
