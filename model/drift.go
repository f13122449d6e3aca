package model

import (
	"math"

	"fitcoil/fit"
)

// driftSigma is the standard uncertainty with which no drift is expected over a session,
// relative: a ferrite core makes 60 to 600 ppm a kelvin (computed from p·0.21 %/K, see
// docs/mathematics.md).
const driftSigma = 5e-4

// addDrift makes room for the drift of readings that took time.
func (u *unknowns) addDrift(log *Log) {
	if from, to := log.span(); to > from {
		u.drift = u.take(1)
	}
}

// moment returns when reading i was taken, in hours or in readings.
func (l *Log) moment(i int) float64 {
	if l.Moments != nil {
		return l.Moments[i]
	}
	return float64(i)
}

// span returns the moments of the first and the last reading used.
func (l *Log) span() (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i := range l.Readings {
		if l.Readings[i].Use {
			from, to = math.Min(from, l.moment(i)), math.Max(to, l.moment(i))
		}
	}
	return from, to
}

// moments returns when each reading was taken, from −½ for the first one used to ½ for the
// last.
func (l *Log) moments() []float64 {
	from, to := l.span()
	out := make([]float64, len(l.Readings))
	if !(to > from) {
		return out
	}
	for i := range out {
		out[i] = (l.moment(i)-from)/(to-from) - 0.5
	}
	return out
}

// drifted returns the factor on frequencies read at a moment from −½ to ½ of the session,
// and its logarithm's derivative to x[drift].
func (f *forward) drifted(x []float64, moment float64) (factor, slope float64) {
	if f.drift < 0 {
		return 1, 0
	}
	slope = driftSigma * moment
	return math.Exp(x[f.drift] * slope), slope
}

// driftQuantities is the drift, if x holds it: relative from the first reading to the last,
// or per hour where the hours are known.
func (p *problem) driftQuantities() []quantity {
	if p.drift < 0 {
		return nil
	}
	unit, per := "1", driftSigma
	if from, to := p.log.span(); p.log.Hours {
		unit, per = "1/h", driftSigma/(to-from)
	}
	return []quantity{{name: Drift, unit: unit, believed: true, value: func(f *forward, x, grad []float64) float64 {
		clear(grad)
		grad[f.drift] = per
		return per * x[f.drift]
	}}}
}

// afterwards returns the moment of one more reading: as far behind the last as readings are
// apart.
func (p *problem) afterwards() float64 { return 0.5 + 1/float64(max(1, len(p.rows)-1)) }

// driftSeen is the level of confidence from which on a drift is named: 2.6 of its own
// standard uncertainties.
const driftSeen = 0.99

// drifts tells of a drift that the readings show by themselves.
func (r *Result) drifts() (f Finding, found bool) {
	p := r.problem
	if p.drift < 0 || p.knows(Drift) {
		return f, false
	}
	v, u := p.byReadings(enlarged{Result: r.fit}, p.drift)
	q := p.driftQuantities()[0]
	per := q.value(p.forward, unit(p.n, p.drift), make([]float64, p.n))
	return Finding{Kind: Drifts, Name: Drift, Value: per * v, Other: per * u, Hourly: p.log.Hours}, math.Abs(v) > fit.CoverageFactor(driftSeen, r.fit.ScaleDegrees)*u
}
