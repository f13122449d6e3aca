package forward

import (
	"math"
	"slices"
	"testing"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

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
