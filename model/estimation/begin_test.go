package estimation

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/coupling"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// lumpedLog is read of a coil with all capacitance at the top, without errors: 1.3 mH, 6 pF, a core
// of gain 1.3, also half in; a part without a value; a hand as the priors have it; a primary.
func lumpedLog() (log readings.Log, farad, gain, spike, hand float64) {
	farad, gain, spike, hand = 6e-12, 1.3, 2.8e-12, 4e-13
	log.Parts = []readings.Part{{Name: "4.7", Capacitance: 4.7e-12, Known: true}, {Name: "10", Capacitance: 10e-12, Known: true}, {Name: "spike"}}
	read := func(change func(s *readings.State), also func(hz float64) float64) {
		s := readings.Bare()
		change(&s)
		c, l := farad+s.Exact, 1.3e-3
		for _, p := range s.Parts {
			if c += log.Parts[p].Capacitance; p == 2 {
				c += spike
			}
		}
		if !math.IsInf(s.Hand, 1) {
			c += hand * math.Pow((s.Hand+0.07)/(math.Sqrt(0.1*0.4)+0.07), -2.4)
		}
		if s.Core != "" {
			l *= 1 + (gain-1)*(s.To-s.From)
		}
		hz := 1 / (2 * math.Pi * math.Sqrt(l*c))
		if also != nil {
			hz = also(hz)
		}
		log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: hz, Uncertainty: 1e-4 * hz, Amplitude: math.NaN(), Quality: math.NaN()})
	}
	read(func(s *readings.State) {}, nil)
	read(func(s *readings.State) { s.Parts = []int{0} }, nil)
	read(func(s *readings.State) { s.Parts = []int{0, 1} }, nil)
	read(func(s *readings.State) { s.Exact = 2e-12 }, nil)
	read(func(s *readings.State) { s.Core, s.To = "rod", 1 }, nil)
	read(func(s *readings.State) { s.Core, s.From, s.To, s.Parts = "rod", 0.2, 0.7, []int{1} }, nil)
	read(func(s *readings.State) { s.Parts = []int{2} }, nil)
	read(func(s *readings.State) { s.Parts = []int{2, 0} }, nil)
	read(func(s *readings.State) { s.Parts, s.Core, s.To = []int{2}, "rod", 1 }, nil)
	read(func(s *readings.State) { s.Hand = 0.1 }, nil)
	read(func(s *readings.State) { s.Hand, s.Parts = 0.4, []int{0} }, nil)
	read(func(s *readings.State) { s.Hand, s.Core, s.To = 0.4, "rod", 1 }, nil)
	read(func(s *readings.State) { s.Primary.Kind = readings.PrimaryShorted }, func(hz float64) float64 { return hz * math.Exp(0.02) })
	k := math.Sqrt(1 - math.Exp(-0.04))
	tuned := func(upper bool) (func(s *readings.State), func(hz float64) float64) {
		return func(s *readings.State) {
				s.Primary = readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9, Upper: upper}
			}, func(hz float64) float64 {
				low, high := coupling.Peaks(hz, 1.8e6, k)
				if upper {
					return high.Frequency
				}
				return low.Frequency
			}
	}
	read(tuned(false))
	read(tuned(true))
	return log, farad, gain, spike, hand
}

// From readings without errors of a coil that is as the lumped picture has it, the start is the
// solution, every unknown of it; also where nothing is plain in air, from those with the core, and
// without a shorted primary from the pair of peaks.
func TestStartIsTheSolutionOfALumpedCoil(t *testing.T) {
	for _, without := range []string{"nothing", "air", "shorted"} {
		log, farad, gain, spike, hand := lumpedLog()
		for i := range log.Readings {
			s := &log.Readings[i].State
			if without == "air" && s.Core == "" && len(s.Parts) < 2 && s.Parts == nil || without == "shorted" && s.Primary.Kind == readings.PrimaryShorted {
				log.Readings[i].Use = false
			}
		}
		p := must.Get(NewProblem(Session{Log: log, Lumped: true, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}}}})).In(t)
		x := p.Start(log)
		check := func(what string, i int, want float64) {
			t.Helper()
			if !(math.Abs(x[i]-want) <= 1e-9) {
				t.Errorf("without %s: %s starts at %v, want %v", without, what, x[i], want)
			}
		}
		check("L", forward.AtL, math.Log(1.3e-3))
		check("C", forward.AtC, math.Log(farad))
		check("gain", p.Cores[0].At, math.Log(gain))
		check("spike", p.PartAt[2], math.Log(spike))
		if without != "air" {
			check("hand", p.Hand, math.Log(hand))
			check("coupling", p.Couplings[0].At, 0.02)
			check("tuned", p.Couplings[0].Tuned[0].At, math.Log(1.8e6))
		}
		check("offset", p.Hand+1, math.Log(0.07))
		check("exponent", p.Hand+2, 2.4)
	}
	// Nothing plain: one reading, of the part without a value. C is what a slim coil has.
	log, _, _, _, _ := lumpedLog()
	log.Readings = log.Readings[6:7]
	p, _ := NewProblem(Session{Log: log, Lumped: true})
	x := p.Start(log)
	lc := math.Pow(2*math.Pi*log.Readings[0].Frequency, -2)
	if want := math.Log(lc / (8e-12 + 3e-12)); !(math.Abs(x[forward.AtC]-math.Log(8e-12)) <= 1e-9) || !(math.Abs(x[forward.AtL]-want) <= 1e-9) {
		t.Errorf("L at %v, want %v; C at %v", x[forward.AtL], want, x[forward.AtC])
	}
}

// All priors, anchors and tolerances of a session with one of each: what is assumed, where, and how
// broadly; with ever more ground for a solver that needs it.
func TestAllPriors(t *testing.T) {
	log, _, _, _, _ := lumpedLog()
	for i := range 2 {
		p := &log.Parts[i]
		p.Uncertainty, p.Default, p.Lot, p.Common = 0.05*p.Capacitance, i == 0, "kit", []float64{forward.CommonShare, 0.2}[i] // the second is said
	}
	s := Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.6, Uncertainty: 0.1}, {Key: quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"}, Value: 1e-13, Uncertainty: 1e-13}}}
	p := must.Get(NewProblem(s)).In(t)
	x := p.Start(log)
	for anchors, n := range []int{13, 15, 17} {
		rows := p.Priors(anchors)
		if rows.N != n || len(p.Origins) != n || len(p.PriorOf) != n || p.Anchors != anchors {
			t.Errorf("%d anchors: %d rows, %d origins", anchors, rows.N, len(p.Origins))
		}
		r, jac := make([]float64, rows.N), make([]float64, rows.N*p.N)
		rows.Evaluate(x, 0, r, jac)
		for i := range rows.N { // one by one as all at once
			one, grad := make([]float64, 1), make([]float64, p.N)
			rows.Evaluate(x, i, one, grad)
			if one[0] != r[i] || !slices.Equal(grad, jac[i*p.N:(i+1)*p.N]) {
				t.Errorf("row %d: %v alone, %v among all", i, one[0], r[i])
			}
		}
		core := p.Core("rod")
		type row struct {
			kind          AssumptionKind
			value, spread float64
			at            int
			mean, sigma   float64
			name          string
			from          Origin
		}
		want := []row{
			{AssumedShare, 0.3, 0.3, p.Share, 0.3, 0.3, "", fromAssumption},
			{AssumedCoreCapacitance, 0, 0.1, core.At + 1, 0, 0.1, "rod", fromAssumption},
			{AssumedEnds, 0.12, math.Exp(0.7), core.Ends, 0, 1, "rod", fromAssumption},
			{AssumedMoved, 0.035, math.Exp(0.8), core.Ends + 1, 0, 1, "rod", fromAssumption},
			{AssumedHandOffset, 0.07, math.E, p.Hand + 1, math.Log(0.07), 1, "", fromAssumption},
			{AssumedHandExponent, 2.4, 0.6, p.Hand + 2, 2.4, 0.6, "", fromAssumption},
			{AssumedTolerance, 0, 0.05, p.PartAt[0], 0, 1, "4.7", FromTolerance},
			{NotAssumed, 0, 0, p.PartAt[1], 0, 1, "", FromTolerance},
			{AssumedCommon, 0.25, 0, p.Lots[0].At, 0, 1, "4.7", FromCommon},
			{AssumedLead, 0, 1e-13, p.Lead, 0, 1, "", fromBench},
			{AssumedDrift, 0, 5e-4, p.Drift, 0, 1, "", fromBench},
		}
		if anchors > 0 {
			want = append(want, row{AssumedCapacitance, 8e-12, math.Exp(2), forward.AtC, math.Log(8e-12), 2, "", fromAssumption})
		}
		if anchors > 1 {
			hand := 5e-14 * math.Pow(0.17, 2.4) / math.Pow(p.HandScale+0.07, 2.4)
			want = append(want, row{AssumedPart, 3e-12, math.Exp(10), p.PartAt[2], math.Log(3e-12), 10, "spike", fromAssumption}, row{AssumedHand, hand, math.Exp(10), p.Hand, math.Log(hand), 10, "", fromAssumption})
		}
		if anchors > 0 {
			want = append(want, row{AssumedCoupled, 0.01, 0.02, p.Couplings[0].At, 0.01, 0.02, "", fromAssumption})
		}
		if rows.N != len(want)+2+len(p.Places) {
			t.Errorf("%d rows, want %d, places %d", rows.N, len(want)+2, len(p.Places))
		}
		for i, w := range want {
			a := p.Assumed[i]
			name := ""
			if len(a.Names) > 0 {
				name = a.Names[0]
			}
			near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }
			if a.Kind != w.kind || !near(a.Value, w.value) || !near(a.Spread, w.spread) || name != w.name || len(a.Names) > 1 || p.Origins[i] != w.from {
				t.Errorf("%d anchors, row %d: %+v, want %+v", anchors, i, a, w)
			}
			if got := (x[w.at] - w.mean) / w.sigma; !(math.Abs(r[i]-got) <= 1e-9*math.Max(1, math.Abs(got))) || !near(jac[i*p.N+w.at], 1/w.sigma) {
				t.Errorf("%d anchors, row %d: residual %v, slope %v, want %v, %v", anchors, i, r[i], jac[i*p.N+w.at], got, 1/w.sigma)
			}
		}
		for i, part := range []int{0, 1} {
			if p.PriorOf[6+i] != part || p.Origins[6+i] != FromTolerance {
				t.Errorf("rows of parts: %v, %v", p.PriorOf, p.Origins)
			}
		}
		// Known values come last: of a factor in its logarithm, of what may be zero as it is.
		k := core.At
		gain, farad := math.Exp(x[k]), (1-x[p.Share])*math.Exp(x[forward.AtC])*math.Expm1(x[k+1])
		if i := rows.N - 2; !(math.Abs(r[i]-math.Log(gain/1.6)*16) <= 1e-9) || !(math.Abs(jac[i*p.N+k]-16) <= 1e-9) {
			t.Errorf("gain known: %v, %v", r[i], jac[i*p.N+k])
		}
		if i := rows.N - 1; !(math.Abs(r[i]-(farad-1e-13)/1e-13) <= 1e-9) || !(math.Abs(jac[i*p.N+k+1]*1e-13-(1-x[p.Share])*math.Exp(x[forward.AtC]+x[k+1])) <= 1e-22) {
			t.Errorf("capacitance known: %v, %v", r[i], jac[i*p.N+k+1])
		}
		if p.Origins[rows.N-1] != FromKnown || p.Origins[rows.N-2] != FromKnown {
			t.Errorf("origins %v", p.Origins)
		}
	}
	p.Loose = []int{p.Drift}
	if p.room(p.Drift) != 40 || p.room(p.Lead) != 1 {
		t.Error(p.room(p.Drift), p.room(p.Lead))
	}
	p.BenchFixed = true
	if p.room(p.Drift) != 1e-3 {
		t.Error(p.room(p.Drift))
	}
	if !p.Knows(quantities.CoreGain) || p.Knows(quantities.Inductance) {
		t.Error("what is known")
	}
	if _, err := NewProblem(Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.CoreGain, Core: "yoke"}, Value: 2, Uncertainty: 1}}}); err == nil || len(err.(*quantities.UnknownQuantityError).Could) < 20 {
		t.Errorf("a core that isn't there is known: %v", err)
	}
	open, err := NewProblem(Session{Log: log, Known: s.Known, Open: []string{quantities.CoreGain}})
	if err != nil || len(open.Knowns) != 1 || open.Knowns[0].Name != quantities.CoreCapacitance {
		t.Errorf("left open: %+v, %v", open.Knowns, err)
	}
}

// A drift is told from the first reading to the last, or an hour where hours are known.
func TestDriftQuantity(t *testing.T) {
	log, _, _, _, _ := lumpedLog()
	for _, hours := range []bool{false, true} {
		want, unit := 5e-4*0.7, "1"
		log.Moments = nil
		if hours {
			for i := range log.Readings {
				log.Moments = append(log.Moments, 2+0.25*float64(i))
			}
			want, unit = want/(0.25*float64(len(log.Readings)-1)), "1/h"
		}
		log.Hours = hours
		p := must.Get(NewProblem(Session{Log: log})).In(t)
		x, grad := make([]float64, p.N), slices.Repeat([]float64{3}, p.N)
		x[p.Drift] = 0.7
		q := p.DriftQuantities()[0]
		if got := q.Value(p.Model, x, grad); !(math.Abs(got/want-1) <= 1e-12) || q.Unit != unit || !q.HasPrior || q.Name != quantities.Drift {
			t.Errorf("drift %v %s, want %v %s", got, q.Unit, want, unit)
		}
		for i, g := range grad {
			if i == p.Drift && !(math.Abs(g/(want/0.7)-1) <= 1e-12) || i != p.Drift && g != 0 {
				t.Errorf("slope %d: %v", i, g)
			}
		}
	}
}

// Readings of one state that repeat their last digit count as one: √n times as uncertain each. Not
// where they scatter by more than 0.3 of the digit besides its rounding, a twelfth of its square;
// nor one by itself, one stated, or one of another state.
func TestWhichReadingsShareTheirRounding(t *testing.T) {
	const digit = 100.0
	for _, c := range []struct {
		off  []float64
		want float64
	}{
		{[]float64{0, 0, 0, 0}, 2}, {[]float64{0}, 1}, {[]float64{0, 0}, math.Sqrt2},
		{[]float64{0, 100, 200, 300, 400}, 1},                                      // neighbours differ by the digit: ½ of its square
		{[]float64{0, 0, 0, 100, 100, 100}, math.Sqrt(6)},                          // once in five: a tenth
		{[]float64{0, 0, 0, 100, 100, 0, 0, 0, 100, 100, 100, 100}, math.Sqrt(12)}, // thrice in eleven: 0.136
		{[]float64{0, 0, 100, 100, 0, 0, 100, 100, 100, 100}, math.Sqrt(10)},       // thrice in nine: 0.167
		{[]float64{0, 100, 100, 0, 0, 100, 100, 0, 0, 0, 0, 0}, 1},                 // four times in eleven: 0.182, more than 1/12 + 0.09
	} {
		var log readings.Log
		for _, d := range c.off {
			log.Readings = append(log.Readings, readings.Reading{State: readings.Bare(), Use: true, Frequency: 1e6 + d, Uncertainty: digit / math.Sqrt(12), FromDigits: true})
		}
		other := readings.Reading{State: readings.State{Hand: math.Inf(1), Clip: true}, Use: true, Frequency: 1e6, Uncertainty: digit / math.Sqrt(12), FromDigits: true}
		stated := log.Readings[0]
		stated.FromDigits = false
		mean := log.Readings[0]
		mean.Repeats = &readings.Repeats{Count: 3}
		exact := log.Readings[0]
		exact.Exact = 1e-12
		log.Readings = append(log.Readings, other, stated, mean, exact)
		p := must.Get(NewProblem(Session{Log: log})).In(t)
		alike := 0.0
		for k := range log.Readings {
			f := 1.0
			if k < len(c.off) {
				f = c.want
			}
			alike += 1 - 1/(f*f)
			if got := p.Factor(k); !(math.Abs(got-f) <= 1e-12) || !(math.Abs(p.Weighed[k]/(f*log.Readings[k].Uncertainty)-1) <= 1e-12) {
				t.Errorf("%v: reading %d counts %v times, ± %v; want %v", c.off, k, got, p.Weighed[k], f)
			}
		}
		if !(math.Abs(p.Alike-alike) <= 1e-12) {
			t.Errorf("%v: %v rows alike, want %v", c.off, p.Alike, alike)
		}
	}
	// Neighbours that err alike with correlation ρ count √((1 + ρ)/(1 − ρ)) times.
	log, _, _, _, _ := lumpedLog()
	p, _ := NewProblem(Session{Log: log, Alike: 0.6})
	if !(math.Abs(p.Factor(3)-2) <= 1e-12) || !(math.Abs(p.Weighed[1]/log.Readings[1].Uncertainty-2) <= 1e-12) {
		t.Errorf("factor %v", p.Factor(3))
	}
}

// A drawing beside the readings: the difference over the standard uncertainties of both; where the
// readings leave it open, none. A core's quality read isn't the drawn one's.
func TestChecksOfADrawing(t *testing.T) {
	e := func(name string, v, u float64) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: name}, Value: v, Uncertainty: u, Determined: u > 0}
	}
	drawn := &drawing.Drawn{Estimates: []quantities.Estimate{e(quantities.Inductance, 10, 3), e(quantities.TopCapacitance, 1, 1), e(quantities.QualityCore, 5, 1), e(quantities.CoreGain, 2, 1)}}
	alone := &Result{Parameters: []quantities.Estimate{e(quantities.Inductance, 20, 4), e(quantities.TopCapacitance, 1, 0)}, Derived: []quantities.Estimate{e(quantities.QualityCore, 9, 1)}}
	list := checks(drawn, alone)
	if len(list) != 2 || list[0].Sigmas != 2 || list[0].Drawn.Value != 10 || list[0].Readings.Value != 20 || !math.IsNaN(list[1].Sigmas) {
		t.Errorf("%+v", list)
	}
	// Stray capacitance: what the top has beyond the ball as drawn.
	top := e(quantities.TopCapacitance, 1.5e-12, 4e-14)
	top.Stated, top.Budget = 3e-14, quantities.Budget{Readings: 0.75, Known: 0.25}
	r := &Result{Parameters: []quantities.Estimate{top}, Problem: &Problem{Model: &forward.Model{}}, Session: Session{Drawn: &drawing.Drawn{Drawing: drawing.Drawing{Coil: field.Coil{Ball: 1e-2}}, Estimates: []quantities.Estimate{e(quantities.TopCapacitance, 0.9e-12, 3e-14)}}}}
	r.Solution.ScaleDegrees = math.Inf(1)
	s, ok := r.stray()
	if !ok || s.Name != quantities.StrayCapacitance || !(math.Abs(s.Value-0.6e-12) <= 1e-24) || !(math.Abs(s.Uncertainty-5e-14) <= 1e-24) || !(math.Abs(s.Stated-3e-14*math.Sqrt2) <= 1e-24) ||
		!(math.Abs(s.Budget.Known-0.36-0.16) <= 1e-12) || !(math.Abs(s.Budget.Readings-0.48) <= 1e-12) || !(math.Abs(s.Interval[1]-0.6e-12-1.959964*5e-14) <= 1e-19) {
		t.Errorf("stray %+v", s)
	}
	r.Session.Drawn.Drawing.Coil.Ball = 0
	if _, ok := r.stray(); ok {
		t.Error("without a ball there is a stray capacitance")
	}
}

// The amplitude with a core over that without, in factors: Q by 0.5, 1/√C by √(Z f) with Z 1.2 and
// f 0.75, the coupling by 1.5, the rest what is left.
func TestAmplitudeInFactors(t *testing.T) {
	in := readings.State{Core: "rod", To: 1, Hand: math.Inf(1)}
	log := readings.Log{Readings: []readings.Reading{{State: readings.Bare(), Use: true, Amplitude: 4, Quality: 100}, {State: in, Use: true, Amplitude: 1.2, Quality: 50}}}
	e := func(name, core string, v float64) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: name, Core: core}, Value: v, Determined: true}
	}
	r := &Result{Session: Session{Log: log}, Derived: []quantities.Estimate{e(quantities.ImpedanceRatio, "rod", 1.2), e(quantities.FrequencyRatio, "rod", 0.75), e(quantities.CouplingAtResonance, "", 0.1), e(quantities.CouplingAtResonance, "rod", 0.15)}}
	s, ok := r.AmplitudeShares("rod")
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12 }
	if !ok || s.Core != "rod" || !near(s.Amplitude, 0.3) || !near(s.Quality, 0.5) || !near(s.Capacitance, math.Sqrt(0.9)) || !near(s.Coupling, 1.5) || !near(s.Rest, 0.3/0.5/math.Sqrt(0.9)/1.5) {
		t.Errorf("%+v, %v", s, ok)
	}
	r.Derived[3].Determined = false
	if s, ok = r.AmplitudeShares("rod"); !ok || !math.IsNaN(s.Coupling) || !near(s.Rest, 0.3/0.5/math.Sqrt(0.9)) {
		t.Errorf("%+v, %v", s, ok)
	}
	for what, o := range map[string]readings.Reading{"quality": {State: in, Use: true, Amplitude: 1.2, Quality: math.NaN()}, "amplitude": {State: in, Use: true, Amplitude: math.NaN(), Quality: 50}} {
		r.Session.Log.Readings = []readings.Reading{log.Readings[0], o}
		if s, ok = r.AmplitudeShares("rod"); ok {
			t.Errorf("without %s: %+v", what, s)
		}
	}
	r.Session.Log = log
	for i, what := range []string{"impedances", "frequencies"} {
		r.Derived[i].Determined = false
		if _, ok = r.AmplitudeShares("rod"); ok {
			t.Errorf("without a ratio of %s", what)
		}
		r.Derived[i].Determined = true
	}
	if _, ok = r.AmplitudeShares("yoke"); ok {
		t.Error("of another core")
	}
}

// Shares of a variance by origin, and what is left for the readings.
func TestBudgetOfShares(t *testing.T) {
	var shares [Origins]float64
	shares[FromTolerance], shares[FromCommon], shares[FromKnown], shares[FromEarlier], shares[fromAssumption], shares[fromBench], shares[fromModel] = 1, 0.5, 0.25, 0.125, 2, 0.0625, 0.03125
	b := NewBudget(shares, 10)
	if want := (quantities.Budget{Readings: 1 - 0.396875, Tolerance: 0.15, Common: 0.05, Known: 0.0375, Earlier: 0.0125, Assumed: 0.20625, Bench: 0.00625, Model: 0.003125}); !(math.Abs(b.Readings-want.Readings) <= 1e-12) || !(math.Abs(b.Tolerance-want.Tolerance) <= 1e-12) || b.Common != want.Common || !(math.Abs(b.Known-want.Known) <= 1e-12) || b.Earlier != want.Earlier || !(math.Abs(b.Assumed-want.Assumed) <= 1e-12) || b.Bench != want.Bench || b.Model != want.Model {
		t.Errorf("%+v, want %+v", b, want)
	}
	if NewBudget(shares, 0) != (quantities.Budget{}) {
		t.Error("of no variance")
	}
	shares[FromKnown] = 20
	if b := NewBudget(shares, 10); b.Readings != 0 || !(b.Known <= 1.02) {
		t.Errorf("%+v", b)
	}
	for o := fromReading; o < Origins; o++ {
		if o.IsPrior() != (o == fromAssumption || o == fromBench) {
			t.Errorf("%v", o)
		}
	}
}

// What the model adds to a reading: of a core partly in, read by itself, its whole uncertainty; in
// one of two readings in one place what these don't have in common, a fifth.
func TestWhatTheModelAdds(t *testing.T) {
	s := readings.State{Core: "rod", To: 0.4, Hand: math.Inf(1)}
	loaded := s
	loaded.Parts = []int{0}
	other := readings.State{Core: "rod", To: 0.7, Hand: math.Inf(1)}
	log := readings.Log{Parts: []readings.Part{{Name: "a", Capacitance: 5e-12, Known: true}}}
	for _, state := range []readings.State{readings.Bare(), {Parts: []int{0}, Hand: math.Inf(1)}, s, loaded, other} {
		log.Readings = append(log.Readings, readings.Reading{State: state, Use: true, Frequency: 1e6, Uncertainty: 300})
	}
	p := must.Get(NewProblem(Session{Log: log})).In(t)
	x := p.Start(log)
	for k := range log.Readings {
		state := &log.Readings[k].State
		m := p.ModelUncertainty(x, state)
		want := m
		if k == 2 || k == 3 {
			want = 0.2 * m
		}
		if got := p.Alone(x, state); !(math.Abs(got-want) <= 1e-12) || (m > 0) != (k > 1) {
			t.Errorf("reading %d: %v, want %v", k, got, want)
		}
		if got, u := p.Uncertainty(x, &log.Readings[k]), math.Hypot(300, want*1e6); !(math.Abs(got/u-1) <= 1e-12) || !(math.Abs(p.Weighed[k]/u-1) <= 1e-12) {
			t.Errorf("reading %d: ± %v, weighed %v, want %v", k, got, p.Weighed[k], u)
		}
		if in := (k == 2 || k == 3); (p.model[k] > 0) != in || in && !(math.Abs(p.model[k]/m-1) <= 1e-12) {
			t.Errorf("reading %d: model %v of %v", k, p.model[k], m)
		}
		x[p.Places[0].At] = 0.5
		f, grad := p.erring(x, k, 1e6, make([]float64, p.N)), make([]float64, p.N)
		p.erring(x, k, 1e6, grad)
		by := 0.0
		if k == 2 || k == 3 {
			by = math.Sqrt(0.96) * m
		}
		if !(math.Abs(f/1e6-math.Exp(by*0.5)) <= 1e-12) || !(math.Abs(grad[p.Places[0].At]-by) <= 1e-12) {
			t.Errorf("reading %d errs by %v, slope %v, want %v", k, math.Log(f/1e6), grad[p.Places[0].At], by)
		}
		x[p.Places[0].At] = 0
	}
	p.spread(3) // three times what is stated, the model's as it is
	for k := range log.Readings {
		want := math.Hypot(900, p.Alone(x, &log.Readings[k].State)*1e6)
		if !(math.Abs(p.Weighed[k]/want-1) <= 1e-12) {
			t.Errorf("reading %d enlarged: %v, want %v", k, p.Weighed[k], want)
		}
	}
	p.byStated(func() {
		if !(math.Abs(p.Weighed[0]-300) <= 1e-9) {
			t.Errorf("by the stated ones %v", p.Weighed[0])
		}
	})
	if p.spread(1); !(math.Abs(p.Weighed[0]-300) <= 1e-9) {
		t.Errorf("back at %v", p.Weighed[0])
	}
	q := p.withoutModel()
	if q == nil || !slices.Equal(q.Rows, []int{0, 1}) || len(q.Weighed) != 2 || q.Data.N != 2 {
		t.Errorf("without the model: %+v", q)
	}
}
