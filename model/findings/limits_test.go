package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Neighbours are told where chance makes them as alike in less than one of two hundred sessions, along
// either order.
func TestNeighboursFromWhenOn(t *testing.T) {
	var steps []simulated.Step
	for i := range 24 {
		steps = append(steps, simulated.Added(1+float64((i*7)%24)))
	}
	r := fitted(t, sessionOf(121, steps...))
	told, spared := 0, 0
	for k := range 40 {
		run, added := make([]float64, 24), make([]float64, 24)
		for i := range run {
			run[i] = math.Sin(float64(11*i*i)) + 0.12*float64(k)*math.Sin(2*math.Pi*float64(i)/24)
			r.Readings[i].Standardised = run[i]
		}
		for i, v := range run {
			added[(i*7)%24] = v
		}
		rho, p := patterns.Neighbours(run)
		if other, q := patterns.Neighbours(added); q < p && other > 0 {
			rho, p = other, q
		}
		f, found := CheckNeighbours(r)
		if found != (p < 0.005 && rho > 0) || found && f.Other > 0.005 {
			t.Errorf("p = %v: %+v, %v", p, f, found)
		}
		if p < 0.005 {
			told++
		} else if p < 0.02 {
			spared++
		}
	}
	if told == 0 || spared == 0 {
		t.Errorf("%d told, %d spared: the test needs both", told, spared)
	}
}

// Where neighbours are alike in both orders, that is told in which they are more so.
func TestOrderInWhichNeighboursAreMoreAlike(t *testing.T) {
	var steps []simulated.Step
	for i := range 24 {
		steps = append(steps, simulated.Added(1+float64(i^1))) // by what is added, two exchange their places
	}
	r := fitted(t, sessionOf(122, steps...))
	for name, exchange := range map[string]int{RunOrder: 0, AddedOrder: 1} {
		run, added := make([]float64, 24), make([]float64, 24)
		for i := range run {
			run[i] = math.Sin(2 * math.Pi * float64(i^exchange) / 24)
			r.Readings[i].Standardised, added[i^1] = run[i], run[i]
		}
		first, p := patterns.Neighbours(run)
		second, q := patterns.Neighbours(added)
		f, found := CheckNeighbours(r)
		if !found || f.Name != name || f.Value != math.Min(0.9, math.Max(first, second)) || !(p < 0.005 && q < 0.005 && first != second) {
			t.Errorf("%s, ρ %v by run (p %v), %v by what is added (p %v): %+v", name, first, p, second, q, f)
		}
	}
}

// Repeats are told where chance lets them scatter so, without the one farthest off, in less than one of a
// hundred sessions, and most of them do; a drift that is fitted takes one of their degrees of freedom.
func TestRepeatsFromWhenOn(t *testing.T) {
	told, spared, few := 0, 0, 0
	for k := range 60 {
		s := sessionOf(122+uint64(k%6), append(full(), full()...)...)
		for i := range s.Log.Readings {
			s.Log.Readings[i].Uncertainty /= 0.9 + 0.05*float64(k/6)
		}
		if k%6 == 5 { // two far off
			s.Log.Readings[3].Frequency *= 1.01
			s.Log.Readings[8].Frequency *= 0.99
		}
		if k%6 == 4 { // four a little
			for j, i := range []int{3, 8, 14, 20} {
				o := &s.Log.Readings[i]
				o.Frequency += 7 * float64(1-2*(j%2)) * o.Uncertainty
			}
		}
		r := fitted(t, s)
		var squares, most, degrees float64
		var sizes []float64
		for i := range r.Readings {
			o := &r.Readings[i]
			w := math.Pow(r.Problem.Uncertainty(r.Solution.X, &o.Reading), -2)
			var sum, weight float64
			first := true
			for j := range r.Readings {
				if other := &r.Readings[j]; readings.Same(&other.State, &o.State) {
					v := math.Pow(r.Problem.Uncertainty(r.Solution.X, &other.Reading), -2)
					sum, weight = sum+v*other.Residual, weight+v
					first = first && j >= i
				}
			}
			d := o.Residual - sum/weight
			squares += w * d * d
			if !first {
				degrees++
			}
			if weight > w*1.001 {
				loss := w * d * d * weight / (weight - w)
				most, sizes = math.Max(most, loss), append(sizes, math.Sqrt(loss))
			}
		}
		degrees-- // for the drift
		slices.Sort(sizes)
		p := fit.ChiSquareSurvival(squares-most, degrees-1)
		median := sizes[(len(sizes)-1)/2]
		want := p < 0.01 && median >= 0.67/4*math.Sqrt(squares/degrees)
		got := repeatScatter(r)
		if (got != nil) != want || want && (got.Degrees != degrees || !(math.Abs(got.Ratio/math.Sqrt(squares/degrees)-1) <= 1e-9)) {
			t.Errorf("%d: p %v, median %v of %v: %+v", k, p, median, math.Sqrt(squares/degrees), got)
		}
		switch {
		case want && median < 0.67*math.Sqrt(squares/degrees):
			told++
		case p < 0.01 && !want:
			few++
		case p > 0.01 && p < 0.1:
			spared++
		}
	}
	if told == 0 || spared == 0 || few == 0 {
		t.Errorf("%d told, %d spared, %d of a few: the test needs all", told, spared, few)
	}
}

// A reading that moves something decides where the others leave less than a chance of three in a hundred
// sessions for it, with uncertainties as stated where enough readings agree; none does where a prior is
// contradicted, which is left open then.
func TestDecisiveFromWhenOn(t *testing.T) {
	decided, spared := 0, 0
	for k := range 36 {
		s := sessionOf(138+uint64(k%2), append(full(), simulated.Added(), simulated.Added(10), simulated.Added(22), simulated.Added(4.7))...)
		i := []int{5, 4, 3}[k%3]
		s.Log.Readings = slices.Clone(s.Log.Readings)
		s.Log.Readings[i].Frequency += (2 + 0.25*float64(k/3)) * s.Log.Readings[i].Uncertainty
		r, again := fitted(t, s), fitted(t, s)
		FlagSuspects(r, nil)
		FlagSuspects(again, []Finding{{Kind: TolerancesContradicted}})
		n := float64(len(r.Problem.Rows))
		for _, j := range largestResiduals(r) {
			others := fitted(t, leaving(s, j))
			chance := fit.Chance(others.Readings[j].Standardised, statedDegrees(others, others.Scatter.Redundancy)) * n
			want := moved(r, others)
			if r.Readings[j].Flagged || chance > 0.03 {
				if want != nil && chance < 0.1 && chance > 0.03 {
					spared++
				}
				want = nil
			}
			got := r.Readings[j].Moves
			if (got == nil) != (want == nil) || got != nil && got.By != want.By {
				t.Errorf("reading %d, chance %v: %+v, want %+v", j, chance, got, want)
			}
			if got != nil {
				decided++
			}
			if again.Readings[j].Moves != nil {
				t.Errorf("reading %d decides though tolerances are contradicted", j)
			}
		}
	}
	if decided == 0 || spared == 0 {
		t.Errorf("%d decided, %d spared: the test needs both", decided, spared)
	}
	s := sessionOf(132, append(full(), full()...)...)
	s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.35e-3, Uncertainty: 5e-6}}
	s.Log.Readings[5].Frequency *= 1.003
	r := fitted(t, s)
	FlagSuspects(r, []Finding{{Kind: KnownContradicts, Name: quantities.Inductance}})
	open := leaving(s, 5)
	open.Known = nil
	if o, want := &r.Readings[5], fitted(t, open).Readings[5].Standardised; !o.Flagged || !(math.Abs(o.Deleted/want-1) <= 1e-6) {
		t.Errorf("flagged %v, %v off, want %v", o.Flagged, o.Deleted, want)
	}
	r.Readings[5].Deleted = 12.5
	list := All(r, r, []Finding{{Kind: KnownContradicts, Name: quantities.Inductance}})
	if i := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == ReadingSuspect }); i < 0 || (list[i].Value != 12.5 || list[i].Line != r.Readings[5].Line) {
		t.Errorf("%+v", list[i])
	}
}

// Known values are off from three standard deviations on, parts from what one of a hundred sessions has,
// and from half of the worst part on: a part far off drags the others along.
func TestPullsFromWhenOn(t *testing.T) {
	told, spared, dragged := 0, 0, 0
	gain := fitted(t, sessionOf(133, append(full(), full()...)...)).Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	for k := range 36 {
		s := offBy(133, []int{1, 1, 0}[k/12], 1.2*float64(k%12))
		if k > 11 {
			s.Log.Parts[2].Capacitance *= 1.035
		}
		s.Known = []quantities.Known{{Key: gain.Key, Value: gain.Value * (1 + 0.008*float64(k%12)), Uncertainty: 0.02 * gain.Value}}
		s.Lumped = k > 23 && k%2 == 1 // whose first prior is the first part's
		r := fitted(t, s)
		rows := fit.Must(fit.Diagnose(r.Problem.Problem, r.Solution))[len(r.Problem.Rows):]
		worst := 0.0
		for i, o := range r.Problem.Origins {
			if o == estimation.FromTolerance {
				worst = math.Max(worst, math.Abs(rows[i].Studentised))
			}
		}
		list := pulls(r)
		for i, o := range r.Problem.Origins {
			off, at := math.Abs(rows[i].Studentised), slices.IndexFunc(list, func(f Finding) bool { return f.row == i })
			want := o == estimation.FromKnown && off > 3 || o == estimation.FromTolerance && off > 3.0233 && off > worst/2 // two-sided 1 %/4
			if (at >= 0) != want || want && list[at].Other != rows[i].Studentised {
				t.Errorf("row %d, off by %v: %+v", i, off, list)
			}
			switch {
			case o == estimation.FromTolerance && off > 3.0233 && !want:
				dragged++
			case o == estimation.FromKnown && off > 3 && off < 4:
				told++
			case o == estimation.FromKnown && off > 2 && off < 3:
				spared++
			}
		}
	}
	if told == 0 || spared == 0 || dragged == 0 {
		t.Errorf("%d told, %d spared, %d dragged along: the test needs all", told, spared, dragged)
	}
}

// A part written ten times too large or too small is named with what it was meant to be; a misread
// number with what the others predict there, as they drift, and how well.
func TestMistakesEitherWay(t *testing.T) {
	for _, factor := range []float64{0.1, 10} {
		s := sessionOf(134, append(full(), full()...)...)
		s.Log.Parts = slices.Clone(s.Log.Parts)
		p := &s.Log.Parts[1]
		meant := p.Capacitance
		p.Capacitance, p.Uncertainty = p.Capacitance*factor, p.Uncertainty*factor
		m := findMistake(fitted(t, s), nil)
		if m == nil || m.Kind != MistakenPart || m.Part != p.Name || m.Read != p.Capacitance || !(math.Abs(m.Meant/meant-1) <= 1e-12) {
			t.Errorf("times %v: %+v", factor, m)
		}
	}
	s := sessionOf(135, append(full(), full()...)...)
	for i := range s.Log.Readings { // 0.2 % from the first to the last
		s.Log.Readings[i].Frequency *= 1 + 2e-3*(float64(i)/25-0.5)
	}
	true24 := s.Log.Readings[24].Frequency
	s.Log.Readings[24].Frequency *= 1.1
	m := findMistake(fitted(t, s), nil)
	others := fitted(t, leaving(s, 24))
	e := others.Frequency(s.Log.Readings[24].State, nil)
	if m == nil || m.Kind != MistakenReading {
		t.Fatalf("%+v", m)
	}
	near.Times(t, "predicted", m.Predict, true24, 1.5e-3)
	near.Times(t, "as it drifts", m.Predict, e.Value*others.DriftAt(24), 1e-9)
	near.Times(t, "within", m.Within, e.Uncertainty, 1e-9)
}

// Why inductance and capacitance aren't known apart, and what closes that.
func TestWhySplitIsOpen(t *testing.T) {
	like := func(farad, u float64, pF ...float64) estimation.Session { // readings of a coil of that capacitance, and 1 mH
		var steps []simulated.Step
		for _, v := range pF {
			steps = append(steps, simulated.Added(v))
		}
		s := sessionOf(136, steps...)
		for i := range s.Log.Readings {
			o := &s.Log.Readings[i]
			o.Frequency = 1 / (2 * math.Pi * math.Sqrt(1e-3*(s.Log.Parts[o.Parts[0]].Capacitance+farad)))
			o.Uncertainty = u * o.Frequency
		}
		return s
	}
	for what, c := range map[string]struct {
		s      estimation.Session
		what   Gap
		advice Advice
	}{
		"less than nothing": {like(-5e-12, 1e-4, 10, 22), GapNegative, CheckParts}, "little beside what is added": {like(0.5e-12, 1e-3, 470, 1000), GapCapacitance, ReadBareOrSmall},
		"parts alike": {like(5e-12, 1e-3, 10, 10.1), GapSpread, AddLargerCapacitor}, "one part": {like(5e-12, 1e-3, 10), GapSplit, AddKnownCapacitor},
	} {
		r := fitted(t, c.s)
		if what2, advice, open := openSplit(r); !open || what2 != c.what || advice != c.advice {
			t.Errorf("%s: %v, %v, open %v, want %v, %v", what, what2, advice, open, c.what, c.advice)
		}
	}
}

// A hand's effect is coarse that is known to more than the 3 % to which the law holds at one distance, or not at all.
func TestCoarseHands(t *testing.T) {
	drop := func(u float64, determined bool) *estimation.Result {
		return &estimation.Result{Derived: []quantities.Estimate{{Key: quantities.Key{Name: quantities.HandFrequencyDrop, Hand: 0.1}, Value: 2e4, Uncertainty: u, Determined: determined}}}
	}
	for i, c := range []struct {
		r    *estimation.Result
		at   float64
		want bool
	}{{drop(590, true), 0.1, false}, {drop(610, true), 0.1, true}, {drop(590, false), 0.1, true}, {drop(590, true), 0.2, true}} {
		if got := coarse(c.r, c.at); got != c.want {
			t.Errorf("%d: coarse %v", i, got)
		}
	}
}

// openHands are the distances at which what a hand does isn't determined.
func openHands(r *estimation.Result) (list []float64) {
	for e := range r.All() {
		if e.Name == quantities.HandFrequencyDrop && !e.Determined {
			list = append(list, e.Hand)
		}
	}
	return list
}

// The law of a hand is left open by few distances, or by coarse readings at enough of them, the largest
// four times the smallest; which distances are concerned is told.
func TestWhyTheHandsLawIsOpen(t *testing.T) {
	for what, c := range map[string]struct {
		at     []float64
		u      []float64 // of the effects of the hands, relative; nil: not determined
		advice Advice
	}{
		"three": {[]float64{0.1, 0.2, 0.5}, nil, ReadMoreDistances}, "four": {[]float64{0.1, 0.2, 0.3, 0.4}, nil, RepeatDistances}, "four, close": {[]float64{0.1, 0.2, 0.3, 0.39}, nil, ReadMoreDistances},
		"four, well read":           {[]float64{0.1, 0.2, 0.3, 0.4}, []float64{0.02, 0.5, 0.5, 0.02}, ReadMoreDistances},
		"four, the farthest coarse": {[]float64{0.1, 0.2, 0.3, 0.4}, []float64{0.02, 0.02, 0.02, 0.04}, RepeatDistances},
		"four, the nearest coarse":  {[]float64{0.1, 0.2, 0.3, 0.4}, []float64{0.04, 0.02, 0.02, 0.02}, RepeatDistances},
	} {
		steps := []simulated.Step{simulated.Added(), simulated.Added(10), simulated.Added(22)}
		for _, d := range c.at {
			steps = append(steps, simulated.Added().Near(d))
		}
		s := sessionOf(137, append(steps, simulated.Added())...)
		for i := range s.Log.Readings {
			if o := &s.Log.Readings[i]; o.Hand < 1 {
				o.Uncertainty = 0.06 * o.Frequency
			}
		}
		r := fitted(t, s)
		r.Find(quantities.Key{Name: quantities.HandOffset}).Determined = false // as where the law has none
		for k, u := range c.u {
			e := r.Find(quantities.Key{Name: quantities.HandFrequencyDrop, Hand: c.at[k]})
			e.Determined, e.Value, e.Uncertainty = true, 2e4, 2e4*u
		}
		hands := openHands(r)
		list := Gaps(r)
		i := slices.IndexFunc(list, func(g Undetermined) bool { return g.What == GapHandLaw || g.What == GapHandCoarse })
		if i < 0 || list[i].Advice != c.advice || (list[i].What == GapHandCoarse) != (c.advice == RepeatDistances) || !slices.Equal(list[i].Hands, hands) {
			t.Errorf("%s: %+v, want %v, hands %v", what, list, c.advice, hands)
		}
	}
}
