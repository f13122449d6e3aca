package quantities

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// The interval of a positive quantity is even in its logarithm, that of any other in itself.
// t of 95 % is 2.7764 with four degrees of freedom and 1.9600 without end (tables of Student's t).
func TestIntervals(t *testing.T) {
	for _, c := range []struct{ degrees, k float64 }{{4, 2.776445105}, {math.Inf(1), 1.959963985}} {
		e := Estimate{Value: 10, Uncertainty: 2}
		e.Cover(c.degrees, false)
		near.Times(t, "k", e.Coverage, c.k, 1e-9)
		if e.Degrees != c.degrees {
			t.Errorf("%v degrees of freedom, want %v", e.Degrees, c.degrees)
		}
		near.Times(t, "low", e.Interval[0], 10-2*c.k, 1e-9)
		near.Times(t, "high", e.Interval[1], 10+2*c.k, 1e-9)
		e.Cover(c.degrees, true)
		near.Times(t, "low", e.Interval[0], 10*math.Exp(-0.2*c.k), 1e-9)
		near.Times(t, "high", e.Interval[1], 10*math.Exp(0.2*c.k), 1e-9)
	}
}

// Nothing of an estimate that is forgotten is left but its name, its unit and its bound.
func TestForget(t *testing.T) {
	key := Key{Name: CoreGain, Core: "rod"}
	e := Estimate{Key: key, Unit: "H", Value: 1, Uncertainty: 2, Stated: 3, Interval: [2]float64{4, 5}, Degrees: 6, Coverage: 7,
		Determined: true, Budget: Budget{Readings: 1}, Bound: fit.AtLower}.Forget()
	for i, v := range []float64{e.Value, e.Uncertainty, e.Stated, e.Interval[0], e.Interval[1], e.Degrees, e.Coverage} {
		if !math.IsNaN(v) {
			t.Errorf("number %d is still %v", i, v)
		}
	}
	if e.Determined || e.Budget != (Budget{}) || e.Key != key || e.Unit != "H" || e.Bound != fit.AtLower {
		t.Errorf("%+v", e)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if Finite(1, v, 2) || !Finite(1, -1, 0) {
			t.Errorf("%v is finite", v)
		}
	}
}

// The region of a pair in the logarithms, turned so that they know nothing of each other, is a
// circle of radius √χ²; χ² of 95 % is 5.9915 with two degrees of freedom (tables), −2 ln 0.05.
// Its first point lies where the inductance is largest, its second a quarter on.
func TestRegionOfAPair(t *testing.T) {
	p := Pair{Inductance: Estimate{Value: 1e-3, Uncertainty: 3e-5}, Capacitance: Estimate{Value: 5e-12, Uncertainty: 4e-13}, Correlation: -0.8, Degrees: math.Inf(1)}
	list := p.Region(0.95, 4)
	k := math.Sqrt(-2 * math.Log(0.05))
	for i, want := range [][2]float64{{k, 0}, {0, k}, {-k, 0}, {0, -k}} {
		x, y := math.Log(list[i][0]/1e-3)/0.03, math.Log(list[i][1]/5e-12)/0.08
		if across := (y + 0.8*x) / 0.6; !(math.Abs(x-want[0]) <= 1e-9) || !(math.Abs(across-want[1]) <= 1e-9) {
			t.Errorf("point %d: %v, %v, want %v", i, x, across, want)
		}
	}
	// With few degrees of freedom k² = 2 F; F of 95 % with 2 and 5 is 5.7861 (tables).
	p.Degrees = 5
	near.Times(t, "k", math.Log(p.Region(0.95, 4)[0][0]/1e-3)/0.03, math.Sqrt(2*5.786135), 1e-6)
}

// Which quantity is of what: each kind names its own and no other.
func TestKinds(t *testing.T) {
	all := []string{Inductance, WindingCapacitance, TopCapacitance, CoreGain, CoreCapacitance, HandStrength, HandOffset,
		HandExponent, PartCapacitance, LeadCapacitance, Drift, EffectiveInductance, EffectiveCapacitance, LCProduct, BareFrequency,
		StrayCapacitance, CouplingAtResonance, CouplingOfWindings, QualityWinding, QualityDielectric, QualityCore}
	for what, c := range map[string]struct {
		is   func(string) bool
		want []string
	}{
		"loss":     {OfLoss, []string{"quality_winding", "quality_dielectric", "quality_core"}},
		"coupling": {OfCoupling, []string{"coupling_at_resonance", "coupling_of_windings"}},
		"split":    {RestsOnSplit, []string{"winding_capacitance", "top_capacitance", "core_capacitance"}},
		"shape":    {OfShape, []string{"winding_capacitance", "top_capacitance", "stray_capacitance"}},
		"bench":    {OfBench, []string{"lead_capacitance", "drift"}},
		"hand":     {HandLaw, []string{"hand_strength", "hand_offset", "hand_exponent"}},
	} {
		want := map[string]bool{}
		for _, name := range c.want {
			want[name] = true
		}
		for _, name := range all {
			if c.is(name) != want[name] {
				t.Errorf("%s: %s %v", what, name, !want[name])
			}
		}
	}
}

// A quantity of the bench is ruled out by exactly none of it, by nothing else.
func TestRulesOut(t *testing.T) {
	lead := Key{Name: LeadCapacitance}
	for _, c := range []struct {
		known Known
		want  bool
	}{{Known{Key: lead}, true}, {Known{Key: lead, Value: 1e-15}, false}, {Known{Key: lead, Uncertainty: 1e-15}, false}, {Known{Key: Key{Name: Drift}}, false}} {
		if RulesOut([]Known{{Key: Key{Name: Inductance}}, c.known}, LeadCapacitance) != c.want {
			t.Errorf("%+v: %v", c.known, !c.want)
		}
	}
	e := &UnknownQuantityError{Known: Known{Key: Key{Name: CoreGain}}}
	if got := e.Error(); got != "known value for core_gain, which no reading depends on" {
		t.Error(got)
	}
}
