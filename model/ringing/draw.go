package ringing

import (
	"math"
	"math/cmplx"
	"slices"
)

const (
	defaultColumns = 1000
	detailCycles   = 12
)

func (a *analysis) draw(r *Result, rings []*ring) Drawing {
	columns := a.set.Columns
	if columns <= 0 {
		columns = defaultColumns
	}
	loudest := finding{rings: rings}.loudest()
	cycle := 2 * math.Pi / (loudest.fit.tones[0].omega * a.signal.Interval)
	cycles := float64(detailCycles)
	const swells, mostDetail = 2, 80
	if len(r.Modes) > 1 && r.Modes[1].Relation == Near { // two swells of the beat
		apart := math.Abs(r.Modes[0].Frequency.Value - r.Modes[1].Frequency.Value)
		cycles = math.Min(mostDetail, math.Max(cycles, swells*r.Modes[0].Frequency.Value/apart))
	}
	detail := stretch{max(0, loudest.from-int(cycle)), min(len(a.signal.Samples), loudest.from+int(cycles*cycle)+1)}
	return Drawing{
		Whole:    a.view(stretch{0, len(a.signal.Samples)}, rings, columns),
		Detail:   a.view(detail, rings, columns),
		Spectrum: loudest.spectrum(columns),
		Modes:    a.modesView(r, loudest, columns),
	}
}

// view draws a stretch in at most so many columns.
func (a *analysis) view(s stretch, rings []*ring, columns int) View {
	columns = min(columns, s.len())
	v := View{newBand(columns), newBand(columns), newBand(columns)}
	for c := range columns {
		from, to := s.from+c*s.len()/columns, s.from+(c+1)*s.len()/columns
		at := a.signal.time(float64(from+to-1) / 2)
		v.Trace.Time[c], v.Fit.Time[c], v.Residual.Time[c] = at, at, at
		for _, y := range a.trace()[from:to] {
			v.Trace.put(c, y)
		}
	}
	for _, g := range rings {
		w := g.whole()
		v.drawRing(a, w, stretch{max(s.from, w.from), min(s.to, w.to)}, s)
	}
	return v
}

// trace returns the samples as captured.
func (a *analysis) trace() []float64 {
	if a.whole != nil {
		return a.whole
	}
	return a.signal.Samples
}

// drawRing draws the fit and the residuals of a ring over part, within the
// view of s.
func (v View) drawRing(a *analysis, r *ring, part, s stretch) {
	const block = 4096
	columns := len(v.Fit.Time)
	y := a.trace()
	buf := make([]float64, block)
	for from := part.from; from < part.to; from += block {
		model := buf[:min(block, part.to-from)]
		clear(model)
		r.fit.add(model, from-r.from, 1)
		a.company.add(model, from, 1)
		for i, m := range model {
			// The column c with c·len/columns ≤ n, as view cuts them.
			n := from + i - s.from
			c := ((n+1)*columns - 1) / s.len()
			v.Fit.put(c, m)
			v.Residual.put(c, y[from+i]-m)
		}
	}
}

// spectrum returns the amplitude spectra of a ring's rows, the greatest value
// in each column. The averaging in blocks is undone.
func (r *ring) spectrum(columns int) Spectrum {
	s := r.fit.series
	trace := amplitudes(s.observed(), s)
	residual := amplitudes(append([]float64(nil), r.fit.residual...), s)
	columns = min(columns, len(trace)-1)
	out := Spectrum{make([]float64, columns), make([]float64, columns), make([]float64, columns)}
	per := 0.5 / s.spacing() / float64(len(trace)-1)
	for c := range columns {
		from, to := 1+c*(len(trace)-1)/columns, 1+(c+1)*(len(trace)-1)/columns
		best := from
		for k := from; k < to; k++ {
			if trace[k] > trace[best] {
				best = k
			}
			out.Residual[c] = math.Max(out.Residual[c], residual[k])
		}
		out.Frequency[c], out.Trace[c] = float64(best)*per, trace[best]
	}
	return out
}

func amplitudes(y []float64, s *series) []float64 {
	spec := hannSpectrum(y)
	out := make([]float64, len(spec.power))
	for k, p := range spec.power {
		gain, b := 1.0, float64(s.block)
		if x := float64(k) * spec.binWidth / 2; x > 0 && s.block > 1 {
			gain = math.Sin(x) / (b * math.Sin(x/b)) // G(iω), see series
		}
		// A sine of amplitude A gives A·n/4 under the window's mean of ½.
		out[k] = 4 / float64(len(y)) * math.Sqrt(p) / gain
	}
	return out
}

// modesView works out envelopes: |A| e^{−αt} of each mode, and that of their
// sum, the magnitude of the sum of A e^{−αt + iωt}.
func (a *analysis) modesView(r *Result, g *ring, columns int) (v ModesView) {
	if len(r.Modes) < 2 || g.long != nil {
		return v
	}
	var list []int
	for k, t := range g.fit.tones {
		if slices.ContainsFunc(r.Modes, func(m Tone) bool { return math.Abs(m.Frequency.Value-t.omega/(2*math.Pi)) < 1e-9*m.Frequency.Value }) {
			list = append(list, k)
		}
	}
	const lasts = 5 // time constants of the slowest that are worth drawing
	end := float64(g.len()) * a.signal.Interval
	slowest := math.Inf(1)
	for _, k := range list {
		slowest = math.Min(slowest, g.fit.tones[k].alpha)
	}
	end = math.Min(end, lasts/slowest)
	v.Each = make([][]float64, len(list))
	for c := range columns {
		t := end * float64(c) / float64(columns-1)
		v.Time = append(v.Time, a.signal.time(float64(g.from))+t)
		var sum complex128
		for i, k := range list {
			tn := g.fit.tones[k]
			z := complex(g.fit.coef[2*k], g.fit.coef[2*k+1]) * cmplx.Rect(math.Exp(-tn.alpha*t), math.Remainder(tn.omega*t, 2*math.Pi))
			v.Each[i] = append(v.Each[i], cmplx.Abs(z))
			sum += z
		}
		v.Sum = append(v.Sum, cmplx.Abs(sum))
	}
	return v
}
