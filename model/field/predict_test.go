package field

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// lighthouse is the lamp coil of a model lighthouse: invented data.
func lighthouse() Coil {
	return Coil{
		Turns: 560, Diameter: 0.024, Length: 0.22, Wire: 0.35e-3, Ball: 0.016, Height: 0.15,
		Beads: Beads{Diameter: 0.012, Length: 0.018, Spacing: 0.002, Start: 0.001, Count: 11, Permeability: 125},
	}
}

func predict(t testing.TB, c Coil, hands ...float64) *Prediction {
	t.Helper()
	return must.Get(c.Predict(hands...)).In(t)
}

func TestPredict(t *testing.T) {
	c := lighthouse()
	p := predict(t, c, 0.02, 0.1, 0.5)
	near.Times(t, "inductance", p.Inductance.Value, SheetInductance(560, 0.024, 0.22)-RoundWire(560, 0.024, 0.22, 0.35e-3), 1e-9)

	// The ladder with these values resonates as the coil does.
	l := newLadder(t, Shape{Diameter: c.Diameter, Length: c.Length, Height: c.Height, Core: c.Beads})
	s := State{Inductance: p.Inductance.Value, Capacitance: p.WindingCapacitance.Value, Top: p.TopCapacitance.Value}
	var m Mode
	l.Resonate(s, &m)
	near.Times(t, "bare frequency", p.Frequency.Value, m.Omega/(2*math.Pi), 1e-9)
	// With the core, whose gain comes from another resolution, nearly so.
	s.Cores = []Stretch{{From: 0, To: 1, Gain: p.Core.Full.Value}}
	l.Resonate(s, &m)
	near.Times(t, "frequency with the core", p.Core.Frequency.Value, m.Omega/(2*math.Pi), 2e-3)
	near.Times(t, "gain of a core as long as the winding", p.Core.Gain.Value, p.Core.Full.Value, 1e-9)
	s.Cores = nil
	for _, h := range p.Hands {
		with := s
		with.Top += h.Capacitance.Value
		l.Resonate(with, &m)
		near.Times(t, "frequency with a hand", h.Frequency.Value, m.Omega/(2*math.Pi), 1e-9)
	}

	// Voltage rises to the top. The current has its most a little above the
	// base, which the upper turns charge negatively, and ends in the ball.
	b, most := p.Bare, 0
	n := len(b.Height) - 1
	for i := range n {
		if b.Voltage[i+1] <= b.Voltage[i] {
			t.Fatalf("voltage %g at %g m, %g at %g m", b.Voltage[i], b.Height[i], b.Voltage[i+1], b.Height[i+1])
		}
		if b.Current[i] > b.Current[most] {
			most = i
		}
	}
	if b.Voltage[0] != 0 || b.Voltage[n] != 1 || b.Current[0] != 1 || !(b.Current[n] > 0 && b.Current[n] < 0.3) || most > n/4 {
		t.Errorf("voltage %g to %g, current %g to %g, most at %d of %d", b.Voltage[0], b.Voltage[n], b.Current[0], b.Current[n], most, n)
	}
}

// What everyone at the bench knows of the directions (common practice).
func TestPredictDirections(t *testing.T) {
	base := predict(t, lighthouse(), 0.05, 0.2)
	change := func(f func(c *Coil)) *Prediction {
		c := lighthouse()
		f(&c)
		return predict(t, c)
	}
	less := func(what string, a, b float64) {
		t.Helper()
		if !(a < b) {
			t.Errorf("%s: %g, expected below %g", what, a, b)
		}
	}
	less("a larger ball: frequency", change(func(c *Coil) { c.Ball = 0.03 }).Frequency.Value, base.Frequency.Value)
	less("no ball: top", change(func(c *Coil) { c.Ball = 0 }).TopCapacitance.Value, 0.02*base.WindingCapacitance.Value)
	less("nearer to the plane: frequency", change(func(c *Coil) { c.Height = 0.01 }).Frequency.Value, base.Frequency.Value)
	less("wider gaps: gain", change(func(c *Coil) { c.Beads.Length, c.Beads.Spacing = 0.016, 0.004 }).Core.Gain.Value, base.Core.Gain.Value)
	less("three beads fewer: gain", change(func(c *Coil) { c.Beads.Count -= 3 }).Core.Gain.Value, base.Core.Gain.Value)
	less("the core: frequency", base.Core.Frequency.Value, base.Frequency.Value)
	less("a hand: frequency", base.Hands[0].Frequency.Value, base.Hands[1].Frequency.Value)
	less("thin wire: more inductance", base.Inductance.Value, change(func(c *Coil) { c.Wire = 0.1e-3 }).Inductance.Value)
	less("conducting beads: more capacitance", base.Core.Capacitance.Value, change(func(c *Coil) { c.Beads.Permittivity = math.Inf(1) }).Core.Capacitance.Value)
	// The gap, not the grade, sets the gain of a segmented core: four times
	// the permeability is worth less than half the gap.
	grade := change(func(c *Coil) { c.Beads.Permeability = 500 }).Core.Gain.Value
	gap := change(func(c *Coil) { c.Beads.Length, c.Beads.Spacing, c.Beads.Start = 0.019, 0.001, 0.0005 }).Core.Gain.Value
	less("grade against gap", grade, gap)
}

// ω converges in slices, surfaces, and both together: Richardson's steps.
func TestPredictConvergence(t *testing.T) {
	c := lighthouse()
	omega := func(n int, r resolution) float64 {
		k := must.Get(c.circuit(n, true, math.Inf(1), r)).In(t)
		var m Mode
		k.resonate(0, &m)
		return m.Omega
	}
	same := normal() // the same surfaces for all
	same.most = 0.05
	w := []float64{omega(20, same), omega(40, same), omega(80, same), omega(160, same)}
	order := math.Log2((w[1] - w[2]) / (w[2] - w[3]))
	limit := w[3] + (w[3]-w[2])/3
	t.Logf("20, 40, 80, 160 slices: %+.0f, %+.0f, %+.0f, %+.0f ppm of the limit, order %.2f",
		1e6*(w[0]/limit-1), 1e6*(w[1]/limit-1), 1e6*(w[2]/limit-1), 1e6*(w[3]/limit-1), order)
	if order < 1.7 || !(math.Abs(w[2]/limit-1) <= 5e-5) {
		t.Errorf("80 slices are %.0f ppm off, order %.2f", 1e6*(w[2]/limit-1), order)
	}
	fine := omega(80, resolution{edge: 0.015, most: 0.125, growth: 1.5, rings: 10})
	got := omega(80, normal())
	t.Logf("default accuracy: %+.0f ppm of finer surfaces", 1e6*(got/fine-1))
	if !(math.Abs(got/fine-1) <= 1e-3) {
		t.Errorf("default accuracy is %.0f ppm off finer surfaces", 1e6*(got/fine-1))
	}
}

// Unknown wire is taken as wound close, and costs certainty.
func TestUnknownWire(t *testing.T) {
	c := lighthouse()
	c.Wire = 0.85 * c.Length / c.Turns
	known := predict(t, c).Inductance
	c.Wire = 0
	unknown := predict(t, c).Inductance
	near.Times(t, "inductance", unknown.Value, known.Value, 1e-12)
	if unknown.Relative <= known.Relative {
		t.Errorf("uncertainty %g, with the wire known %g", unknown.Relative, known.Relative)
	}
}

func TestManyBeads(t *testing.T) {
	c := lighthouse()
	few := predict(t, c).Core.Gain
	c.Beads = Beads{Diameter: 0.012, Length: 0.0018, Spacing: 0.0002, Start: 0.0001, Count: 110, Permeability: 125}
	many := predict(t, c).Core.Gain
	if !(many.Value > 1 && many.Value < few.Value) {
		t.Errorf("ten times the gaps: gain %g, was %g", many.Value, few.Value)
	}
}

func TestCheck(t *testing.T) {
	for _, change := range []func(c *Coil){
		func(c *Coil) { c.Turns = 0 }, func(c *Coil) { c.Diameter = -1 }, func(c *Coil) { c.Length = math.NaN() },
		func(c *Coil) { c.Wire = 0.5e-3 }, func(c *Coil) { c.Ball = -1 }, func(c *Coil) { c.Slices = 1 },
		func(c *Coil) { c.Beads.Diameter = 0.0239 }, func(c *Coil) { c.Beads.Diameter = 0 }, func(c *Coil) { c.Beads.Length = 0 },
		func(c *Coil) { c.Beads.Count = -1 }, func(c *Coil) { c.Beads.Count = 1000 }, func(c *Coil) { c.Beads.Permeability = 1 }, func(c *Coil) { c.Beads.Permittivity = 0.5 },
	} {
		c := lighthouse()
		change(&c)
		if _, err := c.Predict(); err == nil {
			t.Errorf("%+v: expected an error", c)
		}
	}
	c := lighthouse()
	if err := c.Check(); err != nil {
		t.Error(err)
	}
	for _, d := range []float64{0, -0.1, math.NaN()} {
		if _, err := c.Predict(d); err == nil {
			t.Errorf("a hand at %g m: expected an error", d)
		}
	}
}

// A frequency goes with the inverse root of the inductance: half of a gain's relative
// uncertainty goes into it, on top of the coil's own (JCGM 100:2008, 5.1.6).
func TestUncertaintyWithCore(t *testing.T) {
	p := predict(t, lighthouse())
	near.Times(t, "u(f) with the core", p.Core.Frequency.Relative, math.Sqrt(math.Pow(p.Frequency.Relative, 2)+math.Pow(p.Core.Gain.Relative, 2)/4), 1e-9)
}

// A frequency goes with L^−½: half of the inductance's relative uncertainty goes into it.
func TestFrequencyUncertaintyFromInductance(t *testing.T) {
	c := lighthouse()
	c.Beads = Beads{}
	air := must.Get(c.circuit(40, false, math.Inf(1), normal())).In(t)
	eq := must.Get(c.equivalent(air)).In(t)
	with, without := eq.frequencyUncertainty(0.02, 0.05), eq.frequencyUncertainty(0, 0.05)
	near.Times(t, "from the inductance", math.Sqrt(with*with-without*without), 0.01, 1e-9)
}

// The gain of a row of beads is uncertain by 1 %, and by what gaps wider by 0.05 mm change.
func TestGainUncertaintyOfNarrowGaps(t *testing.T) {
	c := lighthouse()
	c.Beads.Spacing = 0.2e-3
	gain := predict(t, c).Core.Gain
	c.Beads.Spacing += 0.05e-3
	wider := predict(t, c).Core.Gain.Value
	near.Times(t, "u(gain)", gain.Relative, math.Hypot(0.01, math.Log(gain.Value/wider)), 1e-6)
	if gain.Relative < 0.02 {
		t.Errorf("± %v: the gaps should rule", gain.Relative)
	}
}
