package forward

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// everything is a log in which there is one of each: parts of a lot, exact, unknown and with
// nothing in common; two cores, one also partly in; hands; a shorted and a tuned primary, with a
// core too; an empty clip; and one reading that isn't used.
func everything() *readings.Log {
	log := &readings.Log{Parts: []readings.Part{
		{Name: "4.7", Capacitance: 4.7e-12, Uncertainty: 0.1e-12, Known: true, Lot: "kit", Common: 0.36},
		{Name: "10", Capacitance: 10e-12, Uncertainty: 0.3e-12, Known: true, Lot: "kit", Common: 0.36},
		{Name: "exact", Capacitance: 3e-12, Known: true},
		{Name: "spike"},
		{Name: "alone", Capacitance: 2e-12, Uncertainty: 0.2e-12, Known: true},
		{Name: "never", Capacitance: 1e-12, Uncertainty: 0.2e-12, Known: true},
	}}
	for _, s := range states() {
		log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 100})
	}
	unused := readings.Bare()
	unused.Parts, unused.Hand = []int{5}, 0.7
	log.Readings = append(log.Readings, readings.Reading{State: unused})
	return log
}

func states() (list []readings.State) {
	add := func(change func(s *readings.State)) {
		s := readings.Bare()
		change(&s)
		list = append(list, s)
	}
	rod := func(s *readings.State) { s.Core, s.To = "rod", 1 }
	add(func(s *readings.State) {})
	add(func(s *readings.State) { s.Parts = []int{0} })
	add(func(s *readings.State) { s.Parts = []int{0, 1} })
	add(func(s *readings.State) { s.Parts = []int{2, 3} })
	add(func(s *readings.State) { s.Parts = []int{4} })
	add(func(s *readings.State) { s.Clip = true })
	add(func(s *readings.State) { s.Exact = 1.5e-12 })
	add(rod)
	add(func(s *readings.State) { rod(s); s.Parts = []int{1} })
	add(func(s *readings.State) { rod(s); s.To = 0.4 })
	add(func(s *readings.State) { rod(s); s.To = 0.4; s.Parts = []int{1} })
	add(func(s *readings.State) { s.Core, s.From, s.To = "bead", 0.3, 0.5 })
	add(func(s *readings.State) { s.Hand = 0.1 })
	add(func(s *readings.State) { s.Hand = 0.4; s.Parts = []int{0} })
	add(func(s *readings.State) { s.Primary.Kind = readings.PrimaryShorted })
	add(func(s *readings.State) { s.Primary.Kind = readings.PrimaryShorted; s.Parts = []int{1} })
	add(func(s *readings.State) { s.Primary = readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9} })
	add(func(s *readings.State) {
		s.Primary = readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9, Upper: true}
	})
	add(func(s *readings.State) { rod(s); s.Primary.Kind = readings.PrimaryShorted })
	return list
}

// point is a point of a model, with states that it holds.
type point struct {
	f      *Model
	x      []float64
	states []readings.State
}

// points are those at which the model is looked at.
func points() map[string]point {
	f, x := modelOf(false)
	lumped, y := modelOf(true)
	list := map[string]point{"line": {f, x, states()}, "lumped": {lumped, y, states()}, "crowd": crowd()}
	hand := readings.Bare()
	hand.Hand = 0.2
	for what, s := range map[string]readings.State{ // what the last unknown is of
		"a core's":              {Core: "rod", To: 1, Hand: math.Inf(1)},
		"a hand's":              hand,
		"a coupling's":          {Primary: readings.Primary{Kind: readings.PrimaryShorted}, Hand: 0.2},
		"a hand's by a primary": {Primary: readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9}, Hand: 0.2},
		"a primary's":           {Primary: readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9}, Hand: 0.2},
	} {
		log := &readings.Log{}
		held := []readings.State{readings.Bare(), s}
		if what == "a coupling's" || what == "a primary's" { // the hand alone comes before
			held = []readings.State{readings.Bare(), hand, s}
		}
		for _, s := range held {
			log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 100})
		}
		f := New(log, &resonator.Line{}, false, []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}}}, Earlier{}, nil)
		list[what] = point{f, pointOf(f), held}
	}
	return list
}

// modelOf makes the model of everything and a point of it.
func modelOf(lumped bool) (*Model, []float64) {
	f := New(everything(), &resonator.Line{}, lumped, nil, Earlier{Benches: 1}, nil)
	return f, pointOf(f)
}

// pointOf is a point of f, of which no two unknowns of a kind are alike.
func pointOf(f *Model) []float64 {
	x := make([]float64, f.N)
	x[AtL], x[AtC] = math.Log(1.3e-3), math.Log(6e-12)
	if f.Share >= 0 {
		x[f.Share] = 0.2
	}
	for i, c := range f.Cores {
		x[c.At], x[c.At+1] = math.Log(1.6+0.3*float64(i)), 0.05
		x[c.Ends], x[c.Ends+1] = 0.3, -0.4
	}
	if f.Hand >= 0 {
		x[f.Hand], x[f.Hand+1], x[f.Hand+2] = math.Log(2e-13), math.Log(0.06), 2.2
	}
	for i, k := range f.PartAt {
		if k >= 0 {
			x[k] = 0.3 - 0.2*float64(i)
			if !f.Parts[i].Known {
				x[k] = math.Log(2.8e-12)
			}
		}
	}
	for k, v := range map[int]float64{f.Lead: 1.2, f.Drift: 0.5} {
		if k >= 0 {
			x[k] = v
		}
	}
	for _, l := range f.Lots {
		x[l.At] = 0.8
	}
	for _, p := range f.Places {
		x[p.At] = -0.7
	}
	for i, c := range f.Couplings {
		x[c.At] = 0.02 + 0.01*float64(i)
		for _, tuned := range c.Tuned {
			x[tuned.At] = math.Log(1.7e6)
		}
	}
	return x
}

// Which unknowns there are, each at its place.
func TestWhichUnknownsThereAre(t *testing.T) {
	f, _ := modelOf(false)
	// L, C, share; rod and bead with their ends; three of the hand; five parts of which one is exact
	// and one in no reading used; coupling, tuned, coupling; place; lot; lead; drift; bench
	if f.N != 3+8+3+4+3+1+1+1+1+1 || f.Owned != 0 || f.Width() != f.N || f.Common() != f.N {
		t.Errorf("%d unknowns, %d owned", f.N, f.Owned)
	}
	taken := []int{AtL, AtC, f.Share, f.Hand, f.Hand + 1, f.Hand + 2, f.Lead, f.Drift, f.Strays[0], f.Lots[0].At, f.Places[0].At}
	for _, c := range f.Cores {
		taken = append(taken, c.At, c.At+1, c.Ends, c.Ends+1)
	}
	for _, c := range f.Couplings {
		taken = append(taken, c.At)
		for _, tuned := range c.Tuned {
			taken = append(taken, tuned.At)
		}
	}
	for i, k := range f.PartAt {
		if (k >= 0) != (i != 2 && i != 5) {
			t.Errorf("part %d stands at %d", i, k)
		}
		if k >= 0 {
			taken = append(taken, k)
		}
		if lot := f.LotAt[i]; (lot == f.Lots[0].At) != (i < 2) || i >= 2 && lot != -1 {
			t.Errorf("lot of part %d at %d", i, lot)
		}
	}
	slices.Sort(taken)
	for i, k := range taken {
		if i != k {
			t.Fatalf("taken are %v", taken)
		}
	}
	if len(f.Cores) != 2 || len(f.Couplings) != 2 || len(f.Places) != 1 || !slices.Equal(f.Distances, []float64{0.1, 0.4}) || !(math.Abs(f.HandScale-0.2) <= 1e-12) {
		t.Errorf("%+v", f.Unknowns)
	}
	if s := f.Deepest(0); s.Core != "rod" || s.From != 0 || s.To != 1 || !math.IsInf(s.Hand, 1) {
		t.Errorf("deepest %+v", s)
	}
	if !f.SplitPairs() || !f.Line || f.Core("yoke") != nil || f.Core("bead") == nil {
		t.Errorf("%+v", f.Unknowns)
	}
	// A lot all of whose error is in common needs no second part; nothing of the bench that is known
	// to be nothing has an unknown; of the lead one that is known has, though nothing was clipped.
	log := &readings.Log{Parts: []readings.Part{{Name: "a", Capacitance: 1e-12, Uncertainty: 1e-14, Known: true, Lot: "l", Common: 1}}, Readings: []readings.Reading{{Use: true, State: readings.State{Hand: math.Inf(1), Parts: []int{0}}}, {Use: true, State: readings.Bare()}}}
	nothing := []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}}, {Key: quantities.Key{Name: quantities.Drift}}}
	u := newUnknowns(log, &resonator.Line{}, true, nothing, Earlier{}, nil)
	if u.N != 3 || u.Share != -1 || u.Lead != -1 || u.Drift != -1 || len(u.Lots) != 1 || u.PartAt[0] != -1 || u.LotAt[0] != 2 {
		t.Errorf("%+v", u)
	}
	log.Readings = log.Readings[1:]
	u = newUnknowns(log, &resonator.Line{}, false, []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}, Value: 1e-13, Uncertainty: 1e-14}}, Earlier{}, nil)
	if u.N != 4 || u.Lead != 3 || u.Drift != -1 { // one reading takes no time
		t.Errorf("%+v", u)
	}
	// Of a part whose lot is not all of its error, a lot alone tells nothing.
	log.Parts = append(log.Parts, readings.Part{Name: "b", Capacitance: 1e-12, Uncertainty: 1e-14, Known: true, Lot: "m", Common: 0.5}, readings.Part{Name: "c", Capacitance: 1e-12, Uncertainty: 1e-14, Known: true, Lot: "m", Common: 0.5})
	with := func(part int) readings.State { return readings.State{Hand: math.Inf(1), Parts: []int{part}} }
	u = newUnknowns(log, &resonator.Line{}, true, nothing, Earlier{}, []readings.State{with(1), with(1)})
	if u.N != 3 || len(u.Lots) != 0 || u.PartAt[1] != 2 || u.LotAt[1] != -1 {
		t.Errorf("%+v", u)
	}
	// Two of one do, earlier or to come.
	for what, u := range map[string]Unknowns{
		"earlier": newUnknowns(log, &resonator.Line{}, true, nothing, Earlier{States: []readings.State{with(1), with(2)}}, nil),
		"further": newUnknowns(log, &resonator.Line{}, true, nothing, Earlier{}, []readings.State{with(1), with(2)}),
	} {
		if u.N != 5 || len(u.Lots) != 1 || !slices.Equal(u.PartAt, []int{-1, 2, 3}) || !slices.Equal(u.LotAt, []int{-1, 4, 4}) {
			t.Errorf("%s: %+v", what, u)
		}
	}
	// A clip to come brings its lead.
	if u = newUnknowns(log, &resonator.Line{}, true, nil, Earlier{}, []readings.State{{Hand: math.Inf(1), Clip: true}}); u.Lead != 2 {
		t.Errorf("%+v", u)
	}
	// The deepest insertion counts, wherever in the log it is.
	deep, shallow := readings.State{Core: "rod", From: 0.1, To: 0.8, Hand: math.Inf(1)}, readings.State{Core: "rod", From: 0.5, To: 0.9, Hand: math.Inf(1)}
	for _, list := range [][]readings.State{{deep, shallow}, {shallow, deep}, {shallow, deep, shallow}} {
		u = newUnknowns(log, &resonator.Line{}, false, nil, Earlier{States: list}, nil)
		if s := u.Deepest(0); s.From != 0.1 || s.To != 0.8 {
			t.Errorf("deepest of %v: %+v", list, s)
		}
	}
	// A further state brings what it needs: two readings in a place may come of it, and a hand's
	// distance to go by.
	near := readings.Bare()
	near.Hand, near.Core, near.To = 0.3, "rod", 0.5
	u = newUnknowns(log, &resonator.Line{}, false, nil, Earlier{States: []readings.State{{Hand: math.Inf(1), Parts: []int{0}}}}, []readings.State{near})
	if len(u.Places) != 1 || u.HandScale != 0.3 || len(u.Cores) != 1 || u.Lead < 0 || len(u.Lots) != 1 {
		t.Errorf("%+v", u)
	}
}

// added is what is put on the top in s, part by part from its definition.
func added(f *Model, x []float64, s *readings.State) float64 {
	c := s.Exact
	for _, p := range s.Parts {
		part := &f.Parts[p]
		switch {
		case !part.Known:
			c += math.Exp(x[f.PartAt[p]])
		case part.Uncertainty == 0:
			c += part.Capacitance
		case part.Lot == "":
			c += part.Capacitance * math.Exp(part.Uncertainty/part.Capacitance*x[f.PartAt[p]])
		default:
			c += part.Capacitance * math.Exp(part.Uncertainty/part.Capacitance*(0.8*x[f.PartAt[p]]+0.6*x[f.LotAt[p]]))
		}
	}
	if s.Clip || len(s.Parts) > 0 {
		c += 0.1e-12 * x[f.Lead]
	}
	return c
}

// What is on the top of a state, added up here from its definition; the rest is the resonator's.
func independent(f *Model, x []float64, s *readings.State) float64 {
	share := 1.0
	if f.Share >= 0 {
		share = x[f.Share]
	}
	c := math.Exp(x[AtC])
	w := resonator.Winding{Inductance: math.Exp(x[AtL]), Capacitance: (1 - share) * c, Top: share*c + added(f, x, s)}
	if !math.IsInf(s.Hand, 1) {
		d0, p := math.Exp(x[f.Hand+1]), x[f.Hand+2]
		hand := math.Exp(x[f.Hand]) * math.Pow(0.2+d0, p) / math.Pow(s.Hand+d0, p)
		for _, o := range f.Near {
			if o.Hand == s.Hand {
				hand *= math.Exp(0.03 * x[o.At])
			}
		}
		w.Top += hand
	}
	if s.Core != "" {
		k := f.Core(s.Core)
		over, _ := resonator.Covered(s.From, s.To, x[k.Ends])
		extra := (1 - share) * c * (s.To - s.From) * math.Expm1(x[k.At+1])
		if f.Share < 0 {
			w.Top += c * (math.Pow(s.To, 3) - math.Pow(s.From, 3)) * math.Expm1(x[k.At+1])
		} else if s.To-s.From == 1 {
			moved := 0.035 * math.Exp(0.8*x[k.Ends+1]) * (1 - share) * c
			extra -= moved
			w.Top += 0.44 * moved
		}
		w.Cores = []resonator.Stretch{{From: s.From, To: s.To, Gain: 1 + (math.Exp(x[k.At])-1)*over, Capacitance: extra}}
	}
	var r resonator.Resonance
	(&resonator.Line{}).Resonate(w, &r)
	return r.Omega / 2 / math.Pi
}

// Frequencies of all states, from their definitions: a shorted primary raises that by 1/√(1 − k²),
// a tuned one makes the two roots of the pair; with a core partly in the model errs by its unknown.
func TestFrequencyFromItsDefinition(t *testing.T) {
	for what, c := range points() {
		f, x := c.f, c.x
		for i, s := range c.states {
			want := independent(f, x, &s)
			square := 0.0
			if c := f.Coupled(&s); s.Primary.Kind != readings.PrimaryOpen {
				square = 1 - math.Exp(-2*x[c.At])
				if s.Besides() {
					ref := c.Reference()
					square *= math.Exp(2 * (f.byMode(x, &s) - f.byMode(x, &ref)))
				}
			}
			switch s.Primary.Kind {
			case readings.PrimaryShorted:
				want /= math.Sqrt(1 - square)
			case readings.PrimaryTuned: // ω⁴(1−k²) − ω²(ω₁²+ω₂²) + ω₁²ω₂² = 0
				a, b := want*want, 1.7e6*1.7e6
				root := math.Sqrt((a+b)*(a+b) - 4*(1-square)*a*b)
				if !s.Primary.Upper {
					root = -root
				}
				want = math.Sqrt((a + b + root) / 2 / (1 - square))
			}
			near.To(t, "added, pF", f.Added(x, &s)*1e12, added(f, x, &s)*1e12, 1e-10)
			if ideal := f.Ideal(x, &s, nil); !(math.Abs(ideal/want-1) <= 1e-11) {
				t.Errorf("%s, state %d: %v Hz, want %v", what, i, ideal, want)
			}
			if f.Place(&s) >= 0 {
				want *= math.Exp(math.Sqrt(0.96) * f.ModelUncertainty(x, &s) * -0.7)
			}
			if hz := f.Frequency(x, &s, nil); !(math.Abs(hz/want-1) <= 1e-11) {
				t.Errorf("%s, state %d: %v Hz, want %v", what, i, hz, want)
			}
		}
	}
}

// ∂ln f/∂x of all states and unknowns, and the derivatives of all quantities, against central
// differences. What a core partly in moves in the model's own uncertainty doesn't count.
func TestDerivativesOfEverything(t *testing.T) {
	for name, c := range points() {
		f, x := c.f, c.x
		grad := make([]float64, f.N)
		check := func(what string, value func(x []float64) float64, size float64) {
			t.Helper()
			for j := range x {
				const h = 1e-4
				up, down := slices.Clone(x), slices.Clone(x)
				up[j] += h
				down[j] -= h
				want := (value(up) - value(down)) / (2 * h)
				if !(math.Abs(grad[j]-want) <= 1e-5*math.Abs(want)+1e-8*size) {
					t.Errorf("%s, %s, unknown %d: %v, want %v", name, what, j, grad[j], want)
				}
			}
		}
		for _, s := range c.states {
			f.Ideal(x, &s, grad)
			check("frequency", func(x []float64) float64 { return math.Log(f.Ideal(x, &s, nil)) }, 1)
			row := slices.Repeat([]float64{7}, f.Width())
			f.Ideal(x, &s, row)
			if spread := f.SpreadOut(row, []int{-1, f.OwnPart(&s)}, 1); !slices.Equal(spread, grad) {
				t.Errorf("%s, row %v, want %v", name, spread, grad)
			}
			if k := f.Place(&s); k >= 0 {
				f.Frequency(x, &s, grad)
				if want := math.Sqrt(0.96) * f.ModelUncertainty(x, &s); !(math.Abs(grad[k]/want-1) <= 1e-12) {
					t.Errorf("place: %v, want %v", grad[k], want)
				}
			}
		}
		parameters, derived := Quantities(f)
		scratch := make([]float64, f.N)
		for _, q := range append(parameters, derived...) {
			for _, before := range []float64{7, 0} { // whatever was there
				for i := range grad {
					grad[i] = before
				}
				v := q.Value(f, x, grad)
				check(q.Name+q.Core+q.Part, func(x []float64) float64 { return q.Value(f, x, scratch) }, math.Abs(v))
			}
		}
	}
}
