package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// slim are coils as drawn, other than the lighthouse's, from 9 to 26 diameters long
// (invented).
func slim() map[string]drawing.Drawing {
	draw := func(turns, length, diameter float64, b field.Beads) drawing.Drawing {
		d := sketch()
		d.Coil.Turns, d.Coil.Length, d.Coil.Diameter, d.Coil.Slices = turns, length, diameter, 40
		d.Coil.Beads = b
		return d
	}
	return map[string]drawing.Drawing{
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
func slidAndShort() map[string]drawing.Drawing {
	all := map[string]drawing.Drawing{}
	for name, d := range slim() {
		all[name+", slid in"] = d
		d.Core = "the whole string"
		all[name+", short"] = d
	}
	return all
}

// shows returns what a line must see of the effect of a core on drawing d along
// stretches of its winding, to ring as the coupled slices do: the line that readings find, which
// rings as they do without the core, bare and with a capacitor. (One with the very capacitances
// of the slices carries its current elsewhere, and would see other shares.)
func shows(t *testing.T, d drawing.Drawing, stretches []field.Stretch) []float64 {
	t.Helper()
	drawn := mustDraw(t, d)
	ladder := mustSection(t, d)
	gain := drawn.Find(quantities.CoreGain).Value
	state := field.State{Inductance: drawn.Inductance.Value, Capacitance: drawn.WindingCapacitance.Value, Top: bareTop}
	var bare, m field.Mode
	ladder.Resonate(state, &bare)
	w := equivalent(ladder, state)
	var air, r resonator.Resonance
	(&resonator.Line{}).Resonate(w, &air)
	out := make([]float64, len(stretches))
	for i, s := range stretches {
		s.Gain = gain
		state.Cores = []field.Stretch{s}
		ladder.Resonate(state, &m)
		lo, hi := 1.0, 2*gain
		for range 60 {
			mid := (lo + hi) / 2
			v := w
			v.Cores = []resonator.Stretch{{From: s.From, To: s.To, Gain: mid, Capacitance: 0, Core: ""}}
			(&resonator.Line{}).Resonate(v, &r)
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

// bareTop is the capacitance of a ball with its mount at the top [F], as bare readings have it.
const bareTop = 1.5e-12

// equivalent returns the line that rings as the sections do, bare and with 10 pF more on the top.
func equivalent(ladder *field.Ladder, state field.State) resonator.Winding {
	more := state
	more.Top += 10e-12
	var bare, loaded field.Mode
	ladder.Resonate(state, &bare)
	ladder.Resonate(more, &loaded)
	w := resonator.Winding{Inductance: state.Inductance}
	var r resonator.Resonance
	lo, hi := 0.0, 2*state.Capacitance
	for range 60 { // the winding's capacitance; the top's by the bare frequency
		w.Capacitance = (lo + hi) / 2
		theta := bare.Omega * math.Sqrt(w.Inductance*w.Capacitance)
		w.Top = w.Capacitance / (theta * math.Tan(theta))
		with := w
		with.Top += 10e-12
		(&resonator.Line{}).Resonate(with, &r)
		if theta < math.Pi/2 && r.Omega < loaded.Omega {
			lo = w.Capacitance
		} else {
			hi = w.Capacitance
		}
	}
	return w
}

// reach returns how far ends must reach, of what is believed, for covered to come
// nearest to what shows, and how near that is (rms).
func reach(stretches []field.Stretch, shown []float64) (e, rms float64) {
	rms = math.Inf(1)
	for try := -2.5; try <= 2.5; try += 0.05 {
		sum := 0.0
		for i, s := range stretches {
			k, _ := resonator.Covered(s.From, s.To, try)
			sum += (k - shown[i]) * (k - shown[i])
		}
		if r := math.Sqrt(sum / float64(len(shown))); r < rms {
			e, rms = try, r
		}
	}
	return e, rms
}

// What part of a core's effect shows at an insertion, against the coupled slices of
// coils as drawn, none of which the constants were fitted to, for one reach of the ends each. The core slides in, and sticks out
// below; or it is a short one that stands anywhere. Without ends, it would be all of it: what a
// fifth covered shows stands in docs/field.md.
func TestCoveredFollowsTheField(t *testing.T) {
	told := map[string]float64{"lighthouse": 0.83, "narrow gaps": 0.68, "thick beads": 0.71, "thin beads": 0.835, "15 diameters long": 0.815, "26 diameters long": 0.865}
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
			name, rms, resonator.EndsMean*math.Exp(resonator.EndsSigma*e), shown[1], off, resonator.EndsMean*math.Exp(resonator.EndsSigma*elsewhere))
		if !(rms <= 0.01) || !(math.Abs(e) <= 2) || !(math.Abs(shown[1]-told[name]) <= 0.006) {
			t.Errorf("%s: off by %v rms at %v of what is believed", name, rms, e)
		}
		if !(off <= 0.056) {
			t.Errorf("%s, elsewhere: off by %v rms at %v of what is believed", name, off, elsewhere)
		}
	}
}

// The gain of a core from sessions with the line, against that of the drawing which the
// readings are simulated from: with the core never all in, all in as well, and one
// insertion read over and over, which is no better known than read once.
func TestGainFromPartlyCoveredReadings(t *testing.T) {
	var squares, n float64
	for name, d := range slidAndShort() {
		drawn := mustDraw(t, d)
		truth := drawn.Find(quantities.CoreGain).Value
		gain := func(what string, steps ...simulated.Step) *quantities.Estimate {
			s := asDrawn(t, drawn, 0.4e-12, 1, append([]simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22)}, steps...)...)
			s.Ladder, s.Drawn = nil, nil
			e := mustFit(t, s).Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
			if e == nil || !e.Determined {
				t.Fatalf("%s, %s: no gain", name, what)
			}
			z := (e.Value - truth) / e.Uncertainty
			t.Logf("%s, %s: %.4f ± %.4f for %.4f, %+.1f σ", name, what, e.Value, e.Uncertainty, truth, z)
			if !(math.Abs(z) <= 3.3) {
				t.Errorf("%s, %s: gain %v ± %v, drawn %v", name, what, e.Value, e.Uncertainty, truth)
			}
			squares += z * z
			n++
			return e
		}
		var sweep []simulated.Step
		for i := 1; i < 10; i++ {
			sweep = append(sweep, simulated.Added().Rod(float64(i)/10))
		}
		gain("insertions", sweep...)
		gain("insertions, and all in", append(sweep, simulated.Added().Rod(1), simulated.Added(10).Rod(1))...)
		gain("half in, with capacitors", simulated.Added().Rod(0.5), simulated.Added(4.7).Rod(0.5), simulated.Added(10).Rod(0.5))
		once := gain("half in", simulated.Added().Rod(0.5))
		often := gain("half in, five times", simulated.Added().Rod(0.5), simulated.Added().Rod(0.5), simulated.Added().Rod(0.5), simulated.Added().Rod(0.5), simulated.Added().Rod(0.5))
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

// With the core all in, the line that resonates alike has capacitance moved from its winding to
// its top, as is believed of it, and the gain drawn: eight capacitors each in air and with the
// core, simulated with the coupled slices.
func TestCoreMovesCapacitance(t *testing.T) {
	for _, c := range fieldCoils(t) {
		line := func(covered float64) *Result {
			var steps []simulated.Step
			for _, pF := range []float64{0, 1, 2.2, 4.7, 10, 22, 47, 100} {
				steps = append(steps, simulated.Step{Added: []float64{pF}, Covered: covered})
			}
			b := goodBench()
			b.tolerance = 0
			p := c.play(rand.New(rand.NewPCG(19, 1)), b, steps)
			p.core = 0
			for i := range p.log.Readings {
				o := &p.log.Readings[i]
				o.Frequency = p.frequency(&o.State)
				o.Uncertainty, o.Core = 1e-6*o.Frequency, "" // taken for another coil
			}
			return mustFit(t, idealBench(estimation.Session{Log: p.log}))
		}
		air, core := line(0), line(1)
		of := func(name string) (before, after float64) {
			return air.Find(quantities.Key{Name: name}).Value, core.Find(quantities.Key{Name: name}).Value
		}
		winding, windingWith := of(quantities.WindingCapacitance)
		top, topWith := of(quantities.TopCapacitance)
		gone := winding + c.ladder.CoreCapacitance() - windingWith // the core adds what it polarises
		moved, arrived := gone/winding, (topWith-top)/gone
		l, with := of(quantities.Inductance)
		t.Logf("%s: %.4f of the winding's capacitance moved, %.2f of it to the top; gain %.4f for %.4f", c.name, moved, arrived, with/l, c.gain)
		if !(math.Abs(math.Log(moved/resonator.MovedMean)) <= 2*resonator.MovedSigma) || !(math.Abs(arrived-resonator.MovedToTop) <= 0.05) || !(math.Abs((with/l-1)/(c.gain-1)-1) <= 2e-3) {
			t.Errorf("%s: moved %v, to the top %v of it, gain %v for %v", c.name, moved, arrived, with/l, c.gain)
		}
	}
}

// Frequencies with the core partly in, predicted from sessions with the line that read
// it all in and at no, one or two insertions, against the coupled slices that the
// readings are simulated from: as far off as they say, and the less the more is read.
func TestPredictedInsertions(t *testing.T) {
	last := math.Inf(1)
	for _, read := range [][]simulated.Step{nil, {simulated.Added().Rod(0.5)}, {simulated.Added().Rod(0.3), simulated.Added().Rod(0.6)}} {
		var errors, squares, n float64
		for name, d := range slidAndShort() {
			steps := append([]simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1)}, read...)
			known := len(steps)
			for i := 1; i < 10; i++ {
				steps = append(steps, simulated.Added().Rod(float64(i)/10), simulated.Added(4.7).Rod(float64(i)/10))
			}
			s := asDrawn(t, mustDraw(t, d), 0.4e-12, 1, steps...)
			s.Ladder, s.Drawn = nil, nil
			held := s.Log.Readings[known:]
			s.Log.Readings = s.Log.Readings[:known]
			r := mustFit(t, s)
			for _, o := range held {
				p := decisions.Predict(r.Result, o.State, nil).Frequency
				off, z := p.Value/o.Frequency-1, (p.Value-o.Frequency)/p.Uncertainty
				if !(math.Abs(z) <= 3) {
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
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(81, 1)), 1e-4, 0, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(10).Rod(1))})
	f, x := r.Problem.Model, append([]float64(nil), r.Solution.X...)
	rod := &f.Cores[0]
	at := func(from, to float64) *readings.State {
		return &readings.State{Core: "rod", From: from, To: to, Hand: math.Inf(1)}
	}
	share := func(s *readings.State) float64 {
		u := f.EndsUncertainty(x, rod, s)
		return u / math.Abs(f.Resonance.Cores[0].PerGain)
	}
	if base, middle := share(at(0, 0.4)), share(at(0.3, 0.7)); middle < 2*base {
		t.Errorf("a core in the middle: %v, from the base %v", middle, base)
	}
	x[rod.At], x[rod.Ends] = math.Log(0.011), 1
	if hz := f.Frequency(x, at(0.2, 0.9), nil); !(hz > f.Frequency(x, at(0.4, 0.6), nil)) {
		t.Errorf("a conductor inside: %v Hz", hz)
	}
}

// The frequency is smooth in the gain at any insertion, however large the gain: no
// provision for odd cores may step in.
func TestFrequencyIsSmoothInTheGain(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(82, 1)), 1e-4, 0, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(10).Rod(1))})
	f, x := r.Problem.Model, append([]float64(nil), r.Solution.X...)
	rod := f.Cores[0]
	for _, to := range []float64{0.01, 0.05, 0.2, 0.6, 0.95} {
		s := readings.State{Core: "rod", To: to, Hand: math.Inf(1)}
		last := math.NaN()
		for _, e := range []float64{-2, 0, 2} {
			x[rod.Ends] = e
			for ln := -1.0; ln < 5; ln += 0.01 {
				x[rod.At] = ln
				hz := math.Log(f.Frequency(x, &s, nil))
				if math.Abs(hz-last) > 0.006 && ln > -1 {
					t.Fatalf("%v covered, ln g = %v: ln f jumps from %v to %v", to, ln, last, hz)
				}
				last = hz
			}
		}
	}
}
