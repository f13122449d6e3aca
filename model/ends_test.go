package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/field"
)

// slim are coils as drawn, other than the lighthouse's, from 9 to 26 diameters long
// (invented).
func slim() map[string]Drawing {
	draw := func(turns, length, diameter float64, b field.Beads) Drawing {
		d := sketch()
		d.Coil.Turns, d.Coil.Length, d.Coil.Diameter, d.Coil.Slices = turns, length, diameter, 40
		d.Coil.Beads = b
		return d
	}
	return map[string]Drawing{
		"lighthouse":        sketch(),
		"narrow gaps":       draw(560, 0.22, 24e-3, field.Beads{Diameter: 12e-3, Length: 12e-3, Spacing: 2e-3, Count: 15, Permeability: 120}),
		"thick beads":       draw(560, 0.22, 24e-3, field.Beads{Diameter: 19e-3, Length: 10e-3, Spacing: 3e-3, Count: 16, Permeability: 120}),
		"thin beads":        draw(560, 0.22, 24e-3, field.Beads{Diameter: 6e-3, Length: 6e-3, Spacing: 6e-3, Count: 18, Permeability: 120}),
		"15 diameters long": draw(900, 0.36, 24e-3, field.Beads{Diameter: 12e-3, Length: 12e-3, Spacing: 4e-3, Count: 22, Permeability: 120}),
		"26 diameters long": draw(900, 0.36, 14e-3, field.Beads{Diameter: 8e-3, Length: 12e-3, Spacing: 4e-3, Count: 22, Permeability: 120}),
	}
}

// slidAndShort are the same coils twice: with a core that slides in and sticks out, and
// with one of another name than the drawing's, which is as short as the stretch.
func slidAndShort() map[string]Drawing {
	all := map[string]Drawing{}
	for name, d := range slim() {
		all[name+", slid in"] = d
		d.Core = "the whole string"
		all[name+", short"] = d
	}
	return all
}

// shows returns what a line must see of the effect of a core on drawing d along
// stretches of its winding, to ring as the coupled slices do.
func shows(t *testing.T, d Drawing, stretches []field.Stretch) []float64 {
	t.Helper()
	drawn := mustDraw(t, d)
	ladder, err := d.Ladder()
	if err != nil {
		t.Fatal(err)
	}
	gain := drawn.Find(CoreGain).Value
	w := Winding{Inductance: drawn.Inductance.Value, Capacitance: drawn.WindingCapacitance.Value, Top: 10e-12}
	state := field.State{Inductance: w.Inductance, Capacitance: w.Capacitance, Top: w.Top}
	var bare, m field.Mode
	ladder.Resonate(state, &bare)
	var air, r Resonance
	(&Line{}).Resonate(w, &air)
	out := make([]float64, len(stretches))
	for i, s := range stretches {
		s.Gain = gain
		state.Cores = []field.Stretch{s}
		ladder.Resonate(state, &m)
		lo, hi := 1.0, 2*gain
		for range 60 {
			mid := (lo + hi) / 2
			v := w
			v.Cores = []Stretch{{s.From, s.To, mid, 0, ""}}
			(&Line{}).Resonate(v, &r)
			if r.Omega/air.Omega > m.Omega/bare.Omega {
				lo = mid
			} else {
				hi = mid
			}
		}
		out[i] = (lo - 1) / (gain - 1)
	}
	return out
}

// reach returns how far ends must reach, of what is believed, for covered to come
// nearest to what shows, and how near that is (rms).
func reach(stretches []field.Stretch, shown []float64) (e, rms float64) {
	rms = math.Inf(1)
	for try := -2.5; try <= 2.5; try += 0.05 {
		sum := 0.0
		for i, s := range stretches {
			k, _ := covered(s.From, s.To, try)
			sum += (k - shown[i]) * (k - shown[i])
		}
		if r := math.Sqrt(sum / float64(len(shown))); r < rms {
			e, rms = try, r
		}
	}
	return e, rms
}

// What part of a core's effect shows at an insertion, against the coupled slices of
// coils as drawn, for one reach of the ends each. The core slides in, and sticks out
// below; or it is a short one that stands anywhere. Without ends, it would be all of it,
// 15 to 35 % off at a fifth. (The line here has the very capacitances of the slices,
// which costs a hundredth or two.)
func TestCoveredFollowsTheField(t *testing.T) {
	for name, d := range slim() {
		var in, short []field.Stretch
		for i := 1; i < 10; i++ {
			in = append(in, field.Stretch{To: float64(i) / 10, Length: d.Coil.Length})
		}
		for _, from := range []float64{0.2, 0.4, 0.6, 0.8} {
			for _, to := range []float64{0.4, 0.6, 0.8, 1} {
				if to > from {
					short = append(short, field.Stretch{From: from, To: to})
				}
			}
		}
		shown := shows(t, d, in)
		e, rms := reach(in, shown)
		elsewhere, off := reach(short, shows(t, d, short))
		t.Logf("%s: off by %.4f rms with ends reaching %.3f; a fifth covered shows %.3f; elsewhere %.4f, %.3f",
			name, rms, endsMean*math.Exp(endsSigma*e), shown[1], off, endsMean*math.Exp(endsSigma*elsewhere))
		if rms > 0.035 || math.Abs(e) > 2 || !(shown[1] < 0.9) {
			t.Errorf("%s: off by %v rms at %v of what is believed", name, rms, e)
		}
		if off > 0.08 {
			t.Errorf("%s, elsewhere: off by %v rms at %v of what is believed", name, off, elsewhere)
		}
	}
}

// The derivative of what a core shows against central differences, and its limits: all
// of it where all is covered, nothing but a little of it for the shortest stretch.
func TestCovered(t *testing.T) {
	for _, s := range [][2]float64{{0, 0.01}, {0, 0.2}, {0, 0.97}, {0.3, 0.4}, {0.3, 1}, {0.9, 1}} {
		for _, e := range []float64{endsLeast, -2, -0.3, 0, 1, 2.6} {
			const h = 1e-4
			up, _ := covered(s[0], s[1], e+h)
			down, _ := covered(s[0], s[1], e-h)
			k, per := covered(s[0], s[1], e)
			if want := (up - down) / (2 * h); math.Abs(per-want) > 1e-6*k || !(k > 0 && k < 2.5) {
				t.Errorf("%v, %v: %v, ∂/∂e %v, central difference %v", s, e, k, per, want)
			}
		}
	}
	if k, per := covered(0, 1, 0.7); k != 1 || per != 0 {
		t.Errorf("all covered: %v, %v", k, per)
	}
	if k, _ := covered(0, 1e-6, 0); !(k > 0 && k < 0.01) {
		t.Errorf("next to nothing covered: %v", k)
	}
	// Evaluated apart from this code, from the formula in docs/mathematics.md.
	for _, c := range []struct{ from, to, want float64 }{{0, 0.2, 0.738429}, {0.5, 1, 0.998930}, {0.45, 0.55, 1.005280}} {
		if k, _ := covered(c.from, c.to, 0); math.Abs(k-c.want) > 1e-5 {
			t.Errorf("%v to %v covered shows %v, want %v", c.from, c.to, k, c.want)
		}
	}
	if long, _ := covered(0, 0.5, endsLeast); math.Abs(long-1) > 0.02 {
		t.Errorf("ends that reach nowhere: %v", long)
	}
}

// The gain of a core from sessions with the line, against that of the drawing which the
// readings are simulated from: with the core never all in, all in as well, and one
// insertion read over and over, which is no better known than read once.
func TestGainFromPartlyCoveredReadings(t *testing.T) {
	var squares, n float64
	for name, d := range slidAndShort() {
		drawn := mustDraw(t, d)
		truth := drawn.Find(CoreGain).Value
		gain := func(what string, steps ...step) *Estimate {
			s := asDrawn(t, drawn, 0.4e-12, 1, append([]step{added(), added(2.2), added(4.7), added(10), added(22)}, steps...)...)
			s.Ladder, s.Drawn = nil, nil
			e := mustFit(t, s).Find(CoreGain, "rod", "", 0)
			if e == nil || !e.Determined {
				t.Fatalf("%s, %s: no gain", name, what)
			}
			z := (e.Value - truth) / e.Uncertainty
			t.Logf("%s, %s: %.4f ± %.4f for %.4f, %+.1f σ", name, what, e.Value, e.Uncertainty, truth, z)
			if math.Abs(z) > 3.3 {
				t.Errorf("%s, %s: gain %v ± %v, drawn %v", name, what, e.Value, e.Uncertainty, truth)
			}
			squares += z * z
			n++
			return e
		}
		var sweep []step
		for i := 1; i < 10; i++ {
			sweep = append(sweep, added().rod(float64(i)/10))
		}
		gain("insertions", sweep...)
		gain("insertions, and all in", append(sweep, added().rod(1), added(10).rod(1))...)
		gain("half in, with capacitors", added().rod(0.5), added(4.7).rod(0.5), added(10).rod(0.5))
		once := gain("half in", added().rod(0.5))
		often := gain("half in, five times", added().rod(0.5), added().rod(0.5), added().rod(0.5), added().rod(0.5), added().rod(0.5))
		if often.Uncertainty < 0.95*once.Uncertainty {
			t.Errorf("%s: ± %v read five times, ± %v read once", name, often.Uncertainty, once.Uncertainty)
		}
	}
	rms := math.Sqrt(squares / n)
	t.Logf("%v gains off by %.2f standard uncertainties rms", n, rms)
	if rms > 1.3 || rms < 0.5 {
		t.Errorf("off by %v standard uncertainties rms", rms)
	}
}

// With the core all in, the line finds g − 1 too large by what is believed of coupling:
// sessions with capacitors, against the drawing.
func TestCouplingAddsToTheLine(t *testing.T) {
	for name, d := range slim() {
		drawn := mustDraw(t, d)
		s := asDrawn(t, drawn, 0.4e-12, 1, added(), added(2.2), added(4.7), added(10), added(22), added().rod(1), added(4.7).rod(1), added(22).rod(1))
		s.Ladder, s.Drawn = nil, nil
		s = idealBench(s)
		for i := range s.Log.Readings { // as if nothing scattered
			s.Log.Readings[i].Uncertainty *= 0.01
		}
		r := mustFit(t, s)
		seen, truth := math.Expm1(r.fit.X[r.problem.cores[0].at]), drawn.Find(CoreGain).Value-1
		t.Logf("%s: %.5f for %.5f", name, seen, truth)
		if z := (seen/truth - 1 - couplingMean) / couplingSigma; math.Abs(z) > 2.5 {
			t.Errorf("%s: the line finds g − 1 = %v for %v", name, seen, truth)
		}
	}
}

// Frequencies with the core partly in, predicted from sessions with the line that read
// it all in and at no, one or two insertions, against the coupled slices that the
// readings are simulated from: as far off as they say, and the less the more is read.
func TestPredictedInsertions(t *testing.T) {
	last := math.Inf(1)
	for _, read := range [][]step{nil, {added().rod(0.5)}, {added().rod(0.3), added().rod(0.6)}} {
		var errors, squares, n float64
		for name, d := range slidAndShort() {
			steps := append([]step{added(), added(2.2), added(4.7), added(10), added(22), added().rod(1), added(10).rod(1)}, read...)
			known := len(steps)
			for i := 1; i < 10; i++ {
				steps = append(steps, added().rod(float64(i)/10), added(4.7).rod(float64(i)/10))
			}
			s := asDrawn(t, mustDraw(t, d), 0.4e-12, 1, steps...)
			s.Ladder, s.Drawn = nil, nil
			held := s.Log.Readings[known:]
			s.Log.Readings = s.Log.Readings[:known]
			r := mustFit(t, s)
			for _, o := range held {
				p := r.Predict(o.State, nil).Frequency
				off, z := p.Value/o.Frequency-1, (p.Value-o.Frequency)/p.Uncertainty
				if math.Abs(z) > 3 {
					t.Errorf("%s, %v covered: %v ± %v, is %v", name, o.To, p.Value, p.Uncertainty, o.Frequency)
				}
				errors += off * off
				squares += z * z
				n++
			}
		}
		rms, z := math.Sqrt(errors/n), math.Sqrt(squares/n)
		t.Logf("%d insertions read: %v predictions off by %.2f %% rms, %.2f standard uncertainties", len(read), n, 100*rms, z)
		if z > 1.3 || z < 0.5 || !(rms < last) {
			t.Errorf("off by %v rms, %v standard uncertainties", rms, z)
		}
		last = rms
	}
}

// A core in the middle is known less well than one from the base, and one that takes
// nearly all inductance, of a conductor, still leaves a coil.
func TestCoresElsewhere(t *testing.T) {
	c := lighthouse()
	r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(81, 1)), 1e-4, 0, added(), added(4.7), added(10), added().rod(1), added(10).rod(1))})
	f, x := r.problem.forward, append([]float64(nil), r.fit.X...)
	rod := &f.cores[0]
	at := func(from, to float64) *State { return &State{Core: "rod", From: from, To: to, Hand: math.Inf(1)} }
	share := func(s *State) float64 {
		u := f.endsUncertainty(x, rod, s)
		return u / math.Abs(f.resonance.Cores[0].PerGain)
	}
	if base, middle := share(at(0, 0.4)), share(at(0.3, 0.7)); middle < 2*base {
		t.Errorf("a core in the middle: %v, from the base %v", middle, base)
	}
	x[rod.at], x[rod.ends] = math.Log(0.011), 1
	if hz := f.frequency(x, at(0.2, 0.9), nil); !(hz > f.frequency(x, at(0.4, 0.6), nil)) {
		t.Errorf("a conductor inside: %v Hz", hz)
	}
}

// The frequency is smooth in the gain at any insertion, however large the gain: no
// provision for odd cores may step in.
func TestFrequencyIsSmoothInTheGain(t *testing.T) {
	c := lighthouse()
	r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(82, 1)), 1e-4, 0, added(), added(4.7), added(10), added().rod(1), added(10).rod(1))})
	f, x := r.problem.forward, append([]float64(nil), r.fit.X...)
	rod := f.cores[0]
	for _, to := range []float64{0.01, 0.05, 0.2, 0.6, 0.95} {
		s := State{Core: "rod", To: to, Hand: math.Inf(1)}
		last := math.NaN()
		for _, e := range []float64{-2, 0, 2} {
			x[rod.ends] = e
			for ln := -1.0; ln < 5; ln += 0.01 {
				x[rod.at] = ln
				hz := math.Log(f.frequency(x, &s, nil))
				if math.Abs(hz-last) > 0.006 && ln > -1 {
					t.Fatalf("%v covered, ln g = %v: ln f jumps from %v to %v", to, ln, last, hz)
				}
				last = hz
			}
		}
	}
}
