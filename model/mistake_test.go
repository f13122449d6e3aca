package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/repeat"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A log with one slip in it: the slip is named, and the edit that mends it. Sessions are
// simulated with the field model, not with the one that fits them.
func TestMistakeIsNamed(t *testing.T) {
	coils := fieldCoils(t)
	type slip struct {
		name string
		make func(p *played, rng *rand.Rand) (lines []int, kind findings.MistakeKind)

		scatter float64 // of the readings, over what is stated
	}
	digit := func(p *played, rng *rand.Rand) ([]int, findings.MistakeKind) {
		o := &p.log.Readings[rng.IntN(len(p.log.Readings))]
		digits, exponent := findings.Decimals(math.Round(o.Frequency/1e3) * 1e3)
		i := 1 + rng.IntN(2)
		for d := digits[i]; digits[i] == d; {
			digits[i] = byte('0' + rng.IntN(10))
		}
		v := 0.0
		for k, d := range digits {
			v += float64(d-'0') * math.Pow10(exponent-k)
		}
		o.Frequency = v
		return []int{o.Line}, findings.MistakenReading
	}
	swap := func(p *played, rng *rand.Rand) ([]int, findings.MistakeKind) {
		for {
			i := rng.IntN(len(p.log.Readings) - 1)
			a, b := &p.log.Readings[i], &p.log.Readings[i+1]
			if math.Abs(a.Frequency-b.Frequency) < 0.01*a.Frequency {
				continue
			}
			a.Frequency, b.Frequency = b.Frequency, a.Frequency
			return []int{a.Line, b.Line}, findings.MistakenRows
		}
	}
	tenfold := func(p *played, rng *rand.Rand) ([]int, findings.MistakeKind) {
		k := p.index[[]float64{4.7, 10, 2.2}[rng.IntN(3)]]
		p.log.Parts[k].Capacitance *= 10
		p.log.Parts[k].Uncertainty *= 10
		return findings.LinesWith(&p.log, k), findings.MistakenPart
	}
	for _, s := range []slip{{"a digit", digit, 1}, {"two rows swapped", swap, 1}, {"a part ten times off", tenfold, 1},
		{"a digit, with ± too small", digit, 20}, {"two rows swapped, with ± too small", swap, 20}} {
		// In sessions 14 and 19 a misread digit is in one of two readings of a part without a
		// value, either of which explains the log when left out.
		sessions := []int{0, 1, 2, 14, 19}[:repeat.Times(5)]
		if *seeds > 0 {
			sessions = nil
			for k := range *seeds {
				sessions = append(sessions, k)
			}
		}
		n, named := len(sessions), 0
		for _, k := range sessions {
			rng := rand.New(rand.NewPCG(97, uint64(k)))
			p := coils[k%len(coils)].play(rng, goodBench(), benchSteps())
			for i := range p.log.Readings {
				o := &p.log.Readings[i]
				o.Frequency = math.Round(o.Frequency/100) * 100
				o.Uncertainty /= s.scatter
			}
			lines, kind := s.make(p, rng)
			r, err := Fit(estimation.Session{Log: p.log})
			if err != nil {
				t.Errorf("%s, session %d: %v", s.name, k, err)
				continue
			}
			if len(r.Findings) > 0 && r.Findings[0].Kind == findings.LikelyMistake {
				if m := r.Findings[0].Mistake; m.Kind == kind && slices.Equal(m.Lines, lines) {
					named++
					continue
				}
			}
			t.Logf("%s in lines %v, session %d: p = %.2g, found %+v", s.name, lines, k, r.Quality.PValue, r.Findings[:min(2, len(r.Findings))])
		}
		t.Logf("%s: named in %d of %d sessions", s.name, named, n)
		if named < n*9/10 {
			t.Errorf("%s: named in %d of %d sessions", s.name, named, n)
		}
	}
}

// 100 pF written for 10 in one row of ten is named as that: that the log is consistent without the row
// too is no other explanation.
func TestMistakenPartOfOneRow(t *testing.T) {
	for seed := range uint64(3) {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(5, seed)), 3e-4, 0.025, simulated.FullSession()...)
		o := &log.Readings[3]
		log.Parts = append(log.Parts, readings.Part{Name: "100 pF", Capacitance: 100e-12, Uncertainty: 2.5e-12, Known: true})
		o.Parts = []int{len(log.Parts) - 1}
		r := mustFit(t, estimation.Session{Log: log})
		m := r.Findings[0].Mistake
		if m == nil || m.Kind != findings.MistakenPart || m.Part != "100 pF" || !(math.Abs(m.Meant-10e-12) <= 1e-15) || !slices.Equal(m.Lines, []int{o.Line}) {
			t.Errorf("session %d: %+v, %+v", seed, r.Findings[0], m)
		}
	}
}

// Readings that scatter more than stated have no slip in them, and hardly one is named.
func TestScatterIsNoMistake(t *testing.T) {
	coils := fieldCoils(t)
	n, named := max(12, *seeds), 0
	for k := range n {
		rng := rand.New(rand.NewPCG(98, uint64(k)))
		p := coils[k%len(coils)].play(rng, goodBench(), benchSteps())
		for i := range p.log.Readings {
			p.log.Readings[i].Frequency *= 1 + []float64{6e-4, 2e-3, 6e-3}[k%3]*rng.NormFloat64()
		}
		r, err := Fit(estimation.Session{Log: p.log})
		if err != nil {
			t.Errorf("session %d: %v", k, err)
			continue
		}
		for _, f := range r.Findings {
			if f.Kind == findings.LikelyMistake {
				named++
				t.Logf("session %d: %+v", k, f.Mistake)
			}
			if f.Kind == findings.FitsNoCoil {
				t.Errorf("session %d: off by %v", k, f.Value)
			}
		}
	}
	t.Logf("a mistake is named in %d of %d sessions without one", named, n)
	if named > n/20+1 {
		t.Errorf("a mistake is named in %d of %d sessions without one", named, n)
	}
}

// fewDesigns are sessions of six or seven readings.
func fewDesigns() [][]simulated.Step {
	add := simulated.Added
	return [][]simulated.Step{
		{add(), add(4.7), add(10), add(22), simulated.EmptyClip(), add()},
		{add(), add(4.7), add(10), add(22), add(), add(4.7), add(10)},
		{add(), add(2.2), add(4.7), add(10), add(22), add(4.7, 10), add()},
		{add(), add(4.7), add(10), add().Rod(1), add(10).Rod(1), add()},
		{add(), add(10), add().Rod(1), add(10).Rod(1), add().Near(0.1), add().Near(0.2), add()},
	}
}

// One slip among six or seven readings: where they contradict each other, the right line is named,
// or it is among those of which nothing tells which it is; read again, it mostly is named. Of
// readings that scatter ten times as much as stated hardly any is named alone.
func TestMistakeAmongFewReadings(t *testing.T) {
	var right, oneOf, told, wrong, silent, consistent, alarms, n int
	for d, steps := range fewDesigns() {
		for seed := range uint64(repeat.Times(12)) {
			n++
			rng := rand.New(rand.NewPCG(99, 100*uint64(d)+seed))
			log := simulated.Lighthouse().Session(rng, 2e-4, 0.0255, steps...)
			scattered := log
			scattered.Readings = slices.Clone(log.Readings)
			i := rng.IntN(len(steps))
			again := log.Readings[i]
			log.Readings[i].Frequency *= []float64{1.01, 0.97, 1.1, 0.9, 1.3}[rng.IntN(5)]
			for k := range log.Readings {
				scattered.Readings[k].Frequency *= 1 + 2e-3*rng.NormFloat64()
				for _, o := range []*readings.Reading{&log.Readings[k], &scattered.Readings[k]} {
					o.Frequency = math.Round(o.Frequency/100) * 100
				}
			}
			r := mustFit(t, estimation.Session{Log: log})
			switch f := r.Findings[0]; {
			case r.Quality.PValue >= 1e-3: // other unknowns take it up
				consistent++
			case f.Kind != findings.LikelyMistake:
				silent++
				t.Logf("design %d, session %d: line %d is mistaken, χ² %.3g, S %.3g, found %+v", d, seed, log.Readings[i].Line, r.Quality.ChiSquare, r.Quality.Scale, f)
			case !slices.Contains(f.Mistake.Lines, log.Readings[i].Line):
				wrong++
				t.Logf("design %d, session %d: line %d is mistaken, named %+v", d, seed, log.Readings[i].Line, f.Mistake)
			case f.Mistake.Kind == findings.MistakenOneOf:
				oneOf++
				again.Line = 99
				log.Readings = append(log.Readings, again)
				if f := mustFit(t, estimation.Session{Log: log}).Findings[0]; f.Kind == findings.LikelyMistake && f.Mistake.Kind != findings.MistakenOneOf && slices.Contains(f.Mistake.Lines, log.Readings[i].Line) {
					told++
				}
			default:
				right++
			}
			if r := mustFit(t, estimation.Session{Log: scattered}); len(r.Findings) > 0 && r.Findings[0].Kind == findings.LikelyMistake && r.Findings[0].Mistake.Kind != findings.MistakenOneOf {
				alarms++
			}
		}
	}
	t.Logf("of %d sessions with a slip, named right %d, among several %d (named when read again %d), wrong %d, not named %d, consistent %d; of scattered ones %d have one named", n, right, oneOf, told, wrong, silent, consistent, alarms)
	if contradicted := n - consistent; wrong > contradicted/20 || silent > contradicted/10 || right < n/4 || told < oneOf/2 || alarms > n/10 {
		t.Error("too many are named wrong, or not at all, or where there is none")
	}
}

// A part of ten times its value bends a fit so that it drifts by a per cent or more, whether the
// coil drifted or not: beside such a mistake no drift is told.
func TestNoDriftBesideMistake(t *testing.T) {
	for k, c := range fieldCoils(t)[2:4] {
		for _, drift := range []float64{0, 3e-3} {
			b := goodBench()
			b.drift = drift
			p := c.play(rand.New(rand.NewPCG(96, uint64(2+k))), b, benchSteps())
			r := mustFit(t, estimation.Session{Log: p.log})
			told := func(kind findings.FindingKind) bool {
				return slices.ContainsFunc(r.Findings, func(f findings.Finding) bool { return f.Kind == kind })
			}
			if told(findings.Drifts) != (drift > 0) {
				t.Errorf("%s, drift %g: %+v", c.name, drift, r.Findings)
			}
			part := &p.log.Parts[p.index[4.7]]
			part.Capacitance *= 10
			part.Uncertainty *= 10
			r = mustFit(t, estimation.Session{Log: p.log})
			if d := r.Find(quantities.Key{Name: quantities.Drift}); r.Findings[0].Kind != findings.LikelyMistake || told(findings.Drifts) {
				t.Errorf("%s, drift %g: %g ± %g, %+v", c.name, drift, d.Value, d.Uncertainty, r.Findings)
			}
		}
	}
}

// A wrong known value beside few readings is not taken for a mistake in one of them.
func TestWrongKnownValueIsNoMistake(t *testing.T) {
	wrong := []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 2e-3, Uncertainty: 0.02e-3}}
	for _, steps := range append(fewDesigns(), []simulated.Step{simulated.Added(), simulated.Added(10)}) {
		r := mustFit(t, estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(96, 1)), 2e-4, 0.0255, steps...), Known: wrong})
		contradicts := false
		for _, f := range r.Findings {
			contradicts = contradicts || f.Kind == findings.KnownContradicts
			if f.Kind == findings.LikelyMistake {
				t.Errorf("%d readings: %+v", len(steps), f.Mistake)
			}
		}
		if !contradicts {
			t.Errorf("%d readings: %+v", len(steps), r.Findings)
		}
	}
}

// Of two known values the wrong one is named, though the readings agree as well where the other
// one is left open: that misses its value by less than the wrong one, but by much.
func TestTheWrongOfTwoKnownValuesIsNamed(t *testing.T) {
	c := simulated.Lighthouse()
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added()}
	for seed := range uint64(4) {
		known := []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: c.L / 2, Uncertainty: 0.003 * c.L},
			{Key: quantities.Key{Name: quantities.WindingCapacitance}, Value: c.Cw, Uncertainty: 0.08 * c.Cw},
			{Key: quantities.Key{Name: quantities.TopCapacitance}, Value: c.Ct, Uncertainty: 0.2 * c.Ct}}
		r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(95, seed)), 2e-4, 0.0255, steps...), Known: known})
		if f := r.Findings[0]; f.Kind != findings.KnownContradicts || f.Name != quantities.Inductance {
			t.Errorf("session %d: the first finding is %+v", seed, f)
		}
	}
}

// Five to nine readings, the first state read again at the end: a drift of seven of its standard
// uncertainties is named, one that contradicts its prior as well as a mistake does beside that, and
// none where there is none.
func TestDriftOfFewReadings(t *testing.T) {
	add := simulated.Added
	designs := [][]simulated.Step{
		{add(), add(4.7), add(10), add(22), add()},
		{add(), add(4.7), add(10), add().Rod(1), add().Near(0.1), add()},
		{add(), add(4.7), add(10), add(22), add(2.2), add().Rod(1), add(10).Rod(1), add(), add(4.7)},
	}
	coils, n := fieldCoils(t), repeat.Times(12)
	for _, drift := range []float64{0, 1e-3, 1e-2} {
		named := 0
		for _, steps := range designs {
			for seed := range n {
				b := goodBench()
				b.drift = drift
				r := mustFit(t, estimation.Session{Log: coils[seed%len(coils)].play(rand.New(rand.NewPCG(88, uint64(seed))), b, steps).log})
				for _, f := range r.Findings {
					told := f.Value
					if f.Kind == findings.LikelyMistake {
						told = f.Mistake.Drift
					}
					if (f.Kind == findings.Drifts || f.Kind == findings.LikelyMistake) && told != 0 {
						named++
						if math.Abs(told-drift) > 8e-4 {
							t.Errorf("seed %d: a drift of %.0f ppm named, %.0f true", seed, 1e6*told, 1e6*drift)
						}
					}
				}
			}
		}
		all := n * len(designs)
		t.Logf("drift %g: named in %d of %d", drift, named, all)
		if drift == 0 && named > 1+all/50 || drift > 0 && named < all*17/20 {
			t.Errorf("drift %g: named in %d of %d sessions", drift, named, all)
		}
	}
}

// Of few readings that scatter, one left out may leave the others calm by chance: where that is likely it
// is told beside the mistake. Of twelve readings with a slip of 1 % it isn't.
func TestFewReadingsMayScatterInstead(t *testing.T) {
	c, add := simulated.Lighthouse(), simulated.Added
	named := func(s estimation.Session) (m *findings.Mistake) {
		for _, f := range mustFit(t, s).Findings {
			if f.Kind == findings.LikelyMistake && f.Mistake.Kind == findings.MistakenReading {
				m = f.Mistake
			}
		}
		return m
	}
	designs := [][]simulated.Step{{add(), add(), add(10), add(10), add()}, {add(), add(10), add(), add(10), add(), add(10)}, {add(), add(10), add(22), add(), add(10), add(22), add()}}
	const sessions = 60
	alone, told := 0, 0
	for k := range uint64(sessions) {
		rng := rand.New(rand.NewPCG(231, k))
		log := c.Session(rng, 1e-4, 0.01, designs[k%3]...)
		for i := range log.Readings {
			log.Readings[i].Frequency *= 1 + 5e-4*rng.NormFloat64()
		}
		switch m := named(estimation.Session{Log: log}); {
		case m != nil && m.OrScatter:
			told++
		case m != nil:
			alone++
		}
	}
	t.Logf("of %d sessions that scatter, a reading is named in %d, and in %d alone", sessions, told+alone, alone)
	if alone > 1 || told == 0 {
		t.Errorf("of %d sessions that scatter a reading is named alone in %d, with the scatter in %d", sessions, alone, told)
	}
	right := 0
	for k := range uint64(8) {
		log := c.Session(rand.New(rand.NewPCG(232, k)), 1e-4, 0.01, add(), add(2.2), add(4.7), add(10), add(22), add(), add(2.2), add(4.7), add(10), add(22), add(), add(10))
		log.Readings[k].Frequency *= 1.01
		if m := named(estimation.Session{Log: log}); m != nil && m.Lines[0] == log.Readings[k].Line && !m.OrScatter {
			right++
		}
	}
	if right < 7 {
		t.Errorf("of 8 slips among twelve readings %d are named alone", right)
	}
}

// Where what was on the top, or which core was in, is written a row too low, nothing single explains the log, and
// no number of it is told without a word.
func TestShiftedColumnsFitNoCoil(t *testing.T) {
	coils, far, n := fieldCoils(t), 0, 8
	for k := range n {
		log := coils[k%len(coils)].play(rand.New(rand.NewPCG(99, uint64(k))), goodBench(), benchSteps()).log
		last := log.Readings[len(log.Readings)-1].State
		for i := len(log.Readings) - 1; i >= 0; i-- {
			above := last
			if i > 0 {
				above = log.Readings[i-1].State
			}
			if o := &log.Readings[i].State; k%2 == 0 {
				o.Parts = above.Parts
			} else {
				o.Core, o.From, o.To = above.Core, above.From, above.To
			}
		}
		r, err := Fit(estimation.Session{Log: log})
		if err != nil {
			continue // nothing is told
		}
		if len(r.Findings) == 0 || !r.Findings[0].Undermines() {
			t.Errorf("session %d: %+v", k, r.Findings)
		}
		if r.Findings[0].Kind == findings.FitsNoCoil {
			far++
			if !(r.Findings[0].Value > 0.02) || len(r.Findings[0].Lines) != 3 || !slices.IsSorted(r.Findings[0].Lines) {
				t.Errorf("session %d: %+v", k, r.Findings[0])
			}
		}
	}
	t.Logf("far off in %d of %d", far, n)
	if far < n/2 {
		t.Errorf("far off in %d of %d", far, n)
	}
}

// Where the lumped model is asked for, no reading is called mistaken for what it misses.
func TestLumpedModelAccusesNoReading(t *testing.T) {
	for k, c := range fieldCoils(t)[4:] {
		log := c.play(rand.New(rand.NewPCG(100, uint64(k))), goodBench(), append(benchSteps(), simulated.Added().Rod(0.5))).log
		r := mustFit(t, estimation.Session{Log: log, Lumped: true})
		for _, f := range r.Findings {
			if f.Kind == findings.LikelyMistake || f.Kind == findings.FitsNoCoil {
				t.Errorf("%s: %+v, %+v", c.name, f, f.Mistake)
			}
		}
	}
}
