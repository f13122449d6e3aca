package forward

import (
	"math"
	"reflect"
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

// Every quantity that the unknowns give, from its definition.
func TestQuantitiesFromTheirDefinitions(t *testing.T) {
	f, x := modelOf(false)
	at := func(change func(s *readings.State)) (hz, farad, base float64) {
		s := readings.Bare()
		change(&s)
		f.At(x, &s)
		return f.Resonance.Omega / 2 / math.Pi, f.Resonance.Capacitance, f.Resonance.Coupling
	}
	bare, c, foot := at(func(*readings.State) {})
	rod, cRod, footRod := at(func(s *readings.State) { s.Core, s.To = "rod", 1 })
	bead, cBead, _ := at(func(s *readings.State) { s.Core, s.From, s.To = "bead", 0.3, 0.5 })
	bead *= 1 // read once: no unknown of its place
	near, _, _ := at(func(s *readings.State) { s.Hand = 0.1 })
	far, _, _ := at(func(s *readings.State) { s.Hand = 0.4 })
	k := func(i int) float64 { return math.Sqrt(1 - math.Exp(-2*x[f.Couplings[i].At])) }
	hand := func(d float64) float64 { return 2e-13 * math.Pow(0.26/(d+0.06), 2.2) }
	winding := 0.8 * 6e-12
	part := func(i int) float64 { return f.Part(x, i) }
	type key = quantities.Key
	want := map[key]float64{
		{Name: "inductance"}: 1.3e-3, {Name: "winding_capacitance"}: winding, {Name: "top_capacitance"}: 0.2 * 6e-12,
		{Name: "core_gain", Core: "rod"}: 1.6, {Name: "core_capacitance", Core: "rod"}: winding * math.Expm1(0.05),
		{Name: "core_gain", Core: "bead"}: 1.9, {Name: "core_capacitance", Core: "bead"}: winding * math.Expm1(0.05),
		{Name: "hand_strength"}: 2e-13 * math.Pow(0.26, 2.2), {Name: "hand_offset"}: 0.06, {Name: "hand_exponent"}: 2.2,
		{Name: "part_capacitance", Part: "4.7"}: part(0), {Name: "part_capacitance", Part: "10"}: part(1),
		{Name: "part_capacitance", Part: "spike"}: 2.8e-12, {Name: "part_capacitance", Part: "alone"}: part(4),
		{Name: "lead_capacitance"}:      0.12e-12,
		{Name: "effective_capacitance"}: c, {Name: "effective_inductance"}: 1 / (c * math.Pow(2*math.Pi*bare, 2)),
		{Name: "lc_product"}: math.Pow(2*math.Pi*bare, -2), {Name: "bare_frequency"}: bare, {Name: "characteristic_impedance"}: 1 / (2 * math.Pi * bare * c),
		{Name: "inductance_with_core", Core: "rod"}: 1.6 * 1.3e-3, {Name: "inductance_with_core", Core: "bead"}: 1.9 * 1.3e-3,
		{Name: "frequency_ratio", Core: "rod"}: rod / bare, {Name: "frequency_ratio", Core: "bead"}: bead / bare,
		{Name: "gain_claimed_by_ratio", Core: "rod"}: math.Pow(bare/rod, 2), {Name: "gain_claimed_by_ratio", Core: "bead"}: math.Pow(bare/bead, 2),
		{Name: "core_frequency_drop", Core: "rod"}: bare - rod, {Name: "core_frequency_drop", Core: "bead"}: bare - bead,
		{Name: "impedance_ratio", Core: "rod"}: bare * c / rod / cRod, {Name: "impedance_ratio", Core: "bead"}: bare * c / bead / cBead,
		{Name: "coupling_at_resonance"}: k(0), {Name: "coupling_of_windings"}: k(0) / foot,
		{Name: "coupling_at_resonance", Core: "rod"}: k(1), {Name: "coupling_of_windings", Core: "rod"}: k(1) / footRod,
		{Name: "hand_capacitance", Hand: 0.1}: hand(0.1), {Name: "hand_capacitance", Hand: 0.4}: hand(0.4),
		{Name: "hand_frequency_drop", Hand: 0.1}: bare - near, {Name: "hand_frequency_drop", Hand: 0.4}: bare - far,
	}
	units := map[string]string{"inductance": "H", "winding_capacitance": "F", "top_capacitance": "F", "core_gain": "1", "core_capacitance": "F", "hand_strength": "F·m^p",
		"hand_offset": "m", "hand_exponent": "1", "part_capacitance": "F", "lead_capacitance": "F", "effective_capacitance": "F", "effective_inductance": "H", "lc_product": "s²",
		"bare_frequency": "Hz", "characteristic_impedance": "Ω", "inductance_with_core": "H", "frequency_ratio": "1", "gain_claimed_by_ratio": "1", "core_frequency_drop": "Hz",
		"impedance_ratio": "1", "coupling_at_resonance": "1", "coupling_of_windings": "1", "hand_capacitance": "F", "hand_frequency_drop": "Hz"}
	noFactor := []string{"winding_capacitance", "top_capacitance", "core_capacitance", "hand_exponent", "lead_capacitance", "core_frequency_drop", "hand_frequency_drop"}
	priors := []string{"winding_capacitance", "top_capacitance", "core_capacitance", "hand_exponent", "lead_capacitance"}
	unsigned := []string{"winding_capacitance", "top_capacitance", "hand_frequency_drop"}
	parameters, derived := Quantities(f)
	var order []string
	for _, q := range append(slices.Clone(parameters), derived...) {
		if len(order) == 0 || order[len(order)-1] != q.Name {
			order = append(order, q.Name)
		}
	}
	if i, j := slices.Index(order, "core_gain"), slices.Index(order, "effective_inductance"); order[0] != "inductance" || i != 3 || order[j-1] != "lead_capacitance" || j != 12 {
		t.Errorf("order %v", order)
	}
	scratch := make([]float64, f.N)
	for _, q := range append(parameters, derived...) {
		v, ok := want[q.Key]
		if got := q.Value(f, x, scratch); !ok || !(math.Abs(got-v) <= 1e-9*math.Abs(v)) {
			t.Errorf("%+v: %v, want %v", q.Key, got, v)
		}
		delete(want, q.Key)
		neutral := 0.0
		if q.Name == "core_gain" || q.Name == "impedance_ratio" {
			neutral = 1
		}
		if q.Unit != units[q.Name] || q.Positive == slices.Contains(noFactor, q.Name) || q.HasPrior != slices.Contains(priors, q.Name) ||
			q.Unsigned != slices.Contains(unsigned, q.Name) || q.Squared != quantities.OfCoupling(q.Name) || q.Neutral != neutral || (q.Model != nil) != (q.Name == "coupling_of_windings") {
			t.Errorf("%+v: %s %v %v %v %v %v", q.Key, q.Unit, q.Positive, q.HasPrior, q.Unsigned, q.Squared, q.Neutral)
		}
		if q.Model != nil { // of a primary at the foot: 1 % of what the mode makes of it in air, 10 % with a core
			part, mode := 0.01, foot
			if q.Core != "" {
				part, mode = 0.1, footRod
			}
			if u := math.Hypot(0.003, part*math.Log(mode)); !(math.Abs(q.Model(f, x)/u-1) <= 1e-12) {
				t.Errorf("%+v is uncertain by %v, want %v", q.Key, q.Model(f, x), u)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("not told: %v", want)
	}
	// With all capacitance at the top: a core's is worth a third of what it adds along the winding.
	lumped, y := modelOf(true)
	parameters, _ = Quantities(lumped)
	for _, q := range parameters {
		switch got := q.Value(lumped, y, scratch[:lumped.N]); {
		case q.Name == quantities.TopCapacitance && (!(math.Abs(got-6e-12) <= 1e-24) || !q.Positive), q.Name == quantities.CoreCapacitance && !(math.Abs(got-3*6e-12*math.Expm1(0.05)) <= 1e-24), q.Name == quantities.WindingCapacitance:
			t.Errorf("lumped: %s %v", q.Name, got)
		}
	}
}

// What the model errs by: of a core partly in by what the line's picture leaves and where its end
// stands, ± half a per cent of the winding; of a hand's law between distances read; of a primary's
// coupling that the mode carried over. Nothing elsewhere.
func TestWhatTheModelErrsBy(t *testing.T) {
	f, x := modelOf(false)
	for i, s := range states() {
		want := 0.0
		if s.Partly() {
			k := f.Core(s.Core)
			g := math.Exp(x[k.At])
			over, _ := resonator.Covered(s.From, s.To, x[k.Ends])
			apart := 0.017
			if s.From > 0 {
				apart = 0.054
			}
			f.At(x, &s)
			ends := f.Resonance.Cores[0].PerGain * (g - 1) * apart / (1 + (g-1)*over)
			hi, lo := s, s
			hi.To, lo.To = s.To+1e-3, s.To-1e-3
			slope := math.Log(independent(f, x, &hi)/independent(f, x, &lo)) / 2e-3
			want = math.Hypot(ends, 0.0029*slope)
		}
		if got := f.ModelUncertainty(x, &s); !(math.Abs(got-want) <= 1e-9*want) {
			t.Errorf("state %d: %v, want %v", i, got, want)
		}
		want = 0
		if s.Primary.Kind != readings.PrimaryOpen && len(s.Parts) > 0 {
			bare := readings.Bare()
			change := f.byMode(x, &s) - f.byMode(x, &bare)
			square := (1 - math.Exp(-0.04)) * math.Exp(2*change)
			want = square / (1 - square) * math.Hypot(0.003, 0.01*change)
		}
		if got := f.TransferUncertainty(x, &s); !(math.Abs(got-want) <= 1e-12*want) {
			t.Errorf("state %d: coupling %v, want %v", i, got, want)
		}
	}
	for d, away := range map[float64]float64{0.1: 0, 0.4: 0, 0.2: math.Ln2 * math.Ln2, 0.8: 3 * math.Ln2 * math.Ln2, 0.05: 3 * math.Ln2 * math.Ln2} {
		s := readings.Bare()
		s.Hand = d
		hz := f.Frequency(x, &s, nil)
		want := math.Abs(f.Resonance.PerTop) * 2e-13 * math.Pow(0.26/(d+0.06), 2.2) * 0.35 / 2 * away / (1 + math.Log(4))
		if got := f.LawUncertainty(x, &s); !(math.Abs(got-want) <= 1e-9*want) || hz < 1e5 {
			t.Errorf("hand at %v m: %v, want %v", d, got, want)
		}
	}
	// Of a coupling with a core it is the mode there that counts, and a tenth of what it changes.
	for _, c := range []struct {
		change func(s *readings.State)
		at     int
		part   float64
	}{
		{func(s *readings.State) { s.Hand = 0.1 }, 0, 0.01},
		{func(s *readings.State) { s.Exact = 5e-12 }, 0, 0.01},
		{func(s *readings.State) { s.Core, s.To, s.Parts = "rod", 1, []int{1} }, 1, 0.1},
		{func(s *readings.State) { s.Core, s.To, s.Hand = "rod", 1, 0.1 }, 1, 0.1},
	} {
		s := readings.Bare()
		s.Primary.Kind = readings.PrimaryShorted
		c.change(&s)
		ref := readings.Bare()
		if s.Core != "" {
			ref.Core, ref.To = "rod", 1
		}
		change := f.byMode(x, &s) - f.byMode(x, &ref)
		square := (1 - math.Exp(-2*x[f.Couplings[c.at].At])) * math.Exp(2*change)
		near.Times(t, "coupling carried over", f.TransferUncertainty(x, &s), square/(1-square)*math.Hypot(0.003, c.part*change), 1e-9)
	}
	for _, c := range []struct {
		read []float64
		d    float64
		away float64 // of 0.35
	}{
		{[]float64{0.2}, 0.4, math.Ln2},
		{[]float64{0.2}, 0.1, math.Ln2},
		{[]float64{0.1, 0.15, 0.4}, 0.8, math.Log(8) * math.Log(0.8/0.15) * math.Ln2 / math.Pow(1+math.Log(4), 2) / 3},
	} {
		f.Distances = c.read
		s := readings.Bare()
		s.Hand = c.d
		f.Frequency(x, &s, nil)
		near.Times(t, "a hand's law", f.LawUncertainty(x, &s), math.Abs(f.Resonance.PerTop)*2e-13*math.Pow(0.26/(c.d+0.06), 2.2)*0.35*c.away, 1e-9)
	}
	f.Distances = []float64{0.1, 0.2, 0.3, 0.4} // the smallest, the middle and the largest count
	s := readings.Bare()
	s.Hand = 0.2
	f.Frequency(x, &s, nil)
	whole := 1 + math.Log(4)
	want := math.Abs(f.Resonance.PerTop) * 2e-13 * 0.35 / 4 * math.Ln2 * math.Log(1.5) * math.Ln2 / (whole * whole)
	if got := f.LawUncertainty(x, &s); !(math.Abs(got-want) <= 1e-9*want) {
		t.Errorf("hand among four: %v, want %v", got, want)
	}
	s.Primary.Kind = readings.PrimaryShorted // of the mode that s has, whatever was looked at before
	s.Core, s.To = "rod", 1
	f.At(x, &s)
	want = math.Abs(f.Resonance.PerTop) * 2e-13 * 0.35 / 4 * math.Ln2 * math.Log(1.5) * math.Ln2 / (whole * whole)
	f.Frequency(x, &s, nil)
	near.Times(t, "hand beside a primary", f.LawUncertainty(x, &s), want, 1e-9)
	away := readings.Bare()
	if f.LawUncertainty(x, &away) != 0 {
		t.Error("nobody near leaves something open")
	}
	f.Distances = nil
	if f.LawUncertainty(x, &s) != 0 {
		t.Error("a law that no distance was read of leaves something open")
	}
	partly := readings.Bare()
	partly.Core, partly.To = "rod", 0.4
	f.At(x, &partly)
	is := f.Resonance
	is.Cores = slices.Clone(is.Cores)
	if f.CoverSlope(x, &partly); !reflect.DeepEqual(f.Resonance, is) {
		t.Errorf("the slope leaves the mode %+v, was %+v", f.Resonance, is)
	}
}

// The drift is DriftSigma times its unknown, from −½ to ½ of the session.
func TestDrifted(t *testing.T) {
	f, x := modelOf(false)
	factor, slope := f.Drifted(x, -0.5)
	if !(math.Abs(factor-math.Exp(-0.5*0.5*5e-4)) <= 1e-15) || slope != -0.5*5e-4 {
		t.Errorf("%v, %v", factor, slope)
	}
	f.Drift = -1
	if factor, slope = f.Drifted(x, 0.5); factor != 1 || slope != 0 {
		t.Errorf("%v, %v", factor, slope)
	}
}

// The line with L = C = 1: Ω(s) of cot θ = Ω²s/θ, θ = Ω√(1 − s), and the lumped picture's capacitance C/Ω².
func TestPlainLine(t *testing.T) {
	f, x := modelOf(false)
	bare := readings.Bare()
	f.At(x, &bare)
	for _, s := range []float64{0, 0.2, 0.7, 1} {
		x[f.Share] = s
		omega, slope := f.PlainLine(x)
		theta := omega * math.Sqrt(1-s)
		if s < 1 && !(math.Abs(theta*math.Cos(theta)-omega*omega*s*math.Sin(theta)) <= 1e-9) || s == 1 && !(math.Abs(omega-1) <= 1e-9) {
			t.Errorf("share %v: Ω = %v", s, omega)
		}
		if s == 0 && !(math.Abs(omega-math.Pi/2) <= 1e-9) {
			t.Errorf("Ω = %v, want π/2", omega)
		}
		if s > 0 && s < 1 {
			y := slices.Clone(x)
			y[f.Share] = s + 1e-5
			above, _ := f.PlainLine(y)
			y[f.Share] = s - 1e-5
			below, _ := f.PlainLine(y)
			if want := math.Log(above/below) / 2e-5; !(math.Abs(slope/want-1) <= 1e-6) {
				t.Errorf("share %v: slope %v, want %v", s, slope, want)
			}
		}
		is := f.Resonance.Omega
		if got := f.LumpedCapacitance(x); f.Resonance.Omega != is || !(math.Abs(got-6e-12/omega/omega) <= 1e-22) {
			t.Errorf("lumped %v", got)
		}
	}
	lumped, y := modelOf(true)
	if omega, slope := lumped.PlainLine(y); omega != 1 || slope != 0 || !(math.Abs(lumped.LumpedCapacitance(y)-6e-12) <= 1e-22) {
		t.Errorf("lumped: %v, %v", omega, slope)
	}
}

// What of the energy is in the copper: with a core of gain g holding the share e of the magnetic
// energy, 1 − e + e/g.
func TestCopperShare(t *testing.T) {
	f, x := modelOf(false)
	s := readings.Bare()
	f.At(x, &s)
	if got := f.CopperShare(); got != 1 {
		t.Errorf("in air %v", got)
	}
	s.Core, s.To = "rod", 1
	f.At(x, &s)
	if got := f.CopperShare(); !(math.Abs(got-1/1.6) <= 1e-12) {
		t.Errorf("with a core all along %v, want %v", got, 1/1.6)
	}
}

// Where a coil can be: every unknown between its bounds.
func TestBounds(t *testing.T) {
	f, _ := modelOf(false)
	lower, upper := f.Bounds()
	check := func(what string, i int, lo, hi float64) {
		t.Helper()
		if !(math.Abs(lower[i]-lo) <= 1e-12*math.Abs(lo)) || !(math.Abs(upper[i]-hi) <= 1e-12*math.Abs(hi)) {
			t.Errorf("%s: from %v to %v, want %v to %v", what, lower[i], upper[i], lo, hi)
		}
	}
	ln := math.Log
	check("L", AtL, ln(1e-16), ln(1e10))
	check("C", AtC, ln(1e-16), ln(1e-3))
	check("share", f.Share, 0, 1)
	for _, c := range f.Cores {
		check("gain", c.At, ln(1e-2), ln(1e5))
		check("core", c.At+1, ln(1e-2), ln(1e2))
		check("ends", c.Ends, -4, 2.7)
		check("moved", c.Ends+1, -6, 2)
	}
	check("hand", f.Hand, ln(1e-19), ln(1e-6))
	check("offset", f.Hand+1, ln(1e-4), ln(10))
	check("exponent", f.Hand+2, 0.1, 6)
	check("lead", f.Lead, -1e4, 1e4)
	check("stray", f.Strays[0], -1e3, 1e3)
	check("drift", f.Drift, -1e3, 1e3)
	for _, c := range f.Couplings {
		check("coupling", c.At, 1e-9, 3)
	}
	check("tuned", f.Couplings[0].Tuned[0].At, 0, ln(1e12))
	check("lot", f.Lots[0].At, -30, 30)
	check("place", f.Places[0].At, -30, 30)
	check("part", f.PartAt[0], -30, 30)
	check("unknown part", f.PartAt[3], ln(1e-18), ln(1e-3))
}

// A state that asks for what x doesn't hold has no frequency.
func TestWhatXDoesntHold(t *testing.T) {
	f, x := modelOf(false)
	for what, change := range map[string]func(s *readings.State){
		"another core": func(s *readings.State) { s.Core, s.To = "yoke", 1 },
		"another primary": func(s *readings.State) {
			s.Core, s.From, s.To = "bead", 0.3, 0.5
			s.Primary.Kind = readings.PrimaryShorted
		},
		"another tuning": func(s *readings.State) { s.Primary = readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 2e-9} },
	} {
		s := readings.Bare()
		change(&s)
		if hz := f.Frequency(x, &s, make([]float64, f.N)); !math.IsNaN(hz) {
			t.Errorf("%s: %v Hz", what, hz)
		}
	}
	bare := New(&readings.Log{Parts: []readings.Part{{Name: "p"}}, Readings: []readings.Reading{{State: readings.Bare(), Use: true}}}, &resonator.Line{}, false, nil, Earlier{}, nil)
	y := []float64{math.Log(1e-3), math.Log(5e-12), 0.2}
	for what, change := range map[string]func(s *readings.State){"a hand": func(s *readings.State) { s.Hand = 1 }, "a part": func(s *readings.State) { s.Parts = []int{0} }} {
		s := readings.Bare()
		change(&s)
		if hz := bare.Frequency(y, &s, make([]float64, 3)); !math.IsNaN(hz) {
			t.Errorf("%s: %v Hz", what, hz)
		}
	}
}
