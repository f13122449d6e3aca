package voltage

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/field"
)

// A uniform line, V(x)/V_top = sin θx/sin θ, and its gradients at both ends in units of
// V_top over the length (computed, five digits).
func TestUniformLine(t *testing.T) {
	for _, c := range []struct{ ratio, quarter, half, three, base, top float64 }{
		{0, 0.38268, 0.70711, 0.92388, 1.57080, 0},
		{0.1, 0.35322, 0.66185, 0.88691, 1.44338, 0.20417},
		{0.2, 0.33354, 0.63141, 0.86178, 1.35844, 0.34523},
		{0.5, 0.30208, 0.58240, 0.82077, 1.22305, 0.57983},
		{1, 0.28155, 0.55012, 0.79334, 1.13491, 0.74017},
		{2, 0.26752, 0.52791, 0.77426, 1.07484, 0.85353},
		{5, 0.25748, 0.51194, 0.76042, 1.03192, 0.93676},
		{10, 0.25382, 0.50611, 0.75534, 1.01631, 0.96754},
	} {
		theta := math.Pi / 2 // cot θ = θ·ratio, by Newton's method
		for range 50 {
			g, slope := math.Cos(theta)-theta*c.ratio*math.Sin(theta), -math.Sin(theta)*(1+c.ratio)-theta*c.ratio*math.Cos(theta)
			theta -= g / slope
		}
		p := uniform(theta, 400)
		near.To(t, "V(1/4)", at(p, 0.25), c.quarter, 5.1e-6)
		near.To(t, "V(1/2)", at(p, 0.5), c.half, 5.1e-6)
		near.To(t, "V(3/4)", at(p, 0.75), c.three, 5.1e-6)
		gradient, height := steepest(p)
		near.To(t, "base gradient", gradient, c.base, 6e-6)
		near.To(t, "its height", height, 0, 0)
		n := len(p.Voltage) - 1
		near.To(t, "voltage of the last step", 400*(p.Voltage[n]-p.Voltage[n-1]), c.top, 4e-3)
	}
}

func beaded() field.Coil {
	return field.Coil{Turns: 560, Diameter: 0.024, Length: 0.22, Wire: 0.3e-3,
		Beads: field.Beads{Diameter: 0.012, Length: 0.015, Spacing: 0.002, Start: 0.001, Count: 13, Permeability: 1500}}
}

// What stands from the foot to the lowest bead, between beads and from the highest to the
// top adds up to the voltage at the top; that between turns too. 10 kV on 220 mm, a pitch
// of 17 mm and a base gradient of 1.36 make 1.05 kV at the lowest gap (computed).
func TestGapsAddUp(t *testing.T) {
	c := beaded()
	p := uniform(1.31383772, 80)
	for i := range p.Height {
		p.Height[i] *= c.Length
	}
	s := Of(c, p, true)
	sum := s.Beads[0] + 1 - s.Beads[len(s.Beads)-1]
	gaps := 0
	for _, g := range s.Gaps {
		if g.Kind == BetweenBeads {
			sum += g.Share
			gaps++
		}
	}
	near.To(t, "sum over the gaps", sum, 1, 1e-12)
	near.To(t, "number of gaps", float64(gaps), 12, 0)
	near.To(t, "base gradient", s.Gradient*c.Length, 1.35844, 3e-5)
	widest, _ := s.Widest(BetweenBeads)
	near.To(t, "lowest gap of 10 kV", widest.Share*10, 1.05, 0.01)
	near.To(t, "between turns", s.Turns, 1.35844/560, 1e-7)
	total := 0.0
	for k := range 560 {
		total += at(p, c.Length*float64(k+1)/560) - at(p, c.Length*float64(k)/560)
	}
	near.To(t, "sum over the turns", total, 1, 1e-12)
	if core, ok := s.Widest(CoreToWinding); !ok || !(core.Share > 0.4*widest.Share && core.Share < 0.6*widest.Share) {
		t.Errorf("core to winding %+v, beads %+v", core, widest)
	}
	// Ways through air, by hand: half of 24 − 0.3 − 12 mm; 2 mm; 220/560 − 0.3 mm.
	for kind, mm := range map[Kind]float64{CoreToWinding: 5.85, BetweenBeads: 2, BetweenTurns: 0.09285714} {
		g, _ := s.Widest(kind)
		near.To(t, "distance", g.Distance*1e3, mm, 1e-6)
	}
	if bare := Of(c, p, false); len(bare.Gaps) != 1 || bare.Beads != nil {
		t.Errorf("without a core: %+v", bare)
	}
}

// A rod from end to end floats at the mean voltage, with most of the rest between its
// upper end and the winding.
func TestRod(t *testing.T) {
	c := beaded()
	c.Beads = field.Beads{Diameter: 0.012, Length: 0.22, Count: 1, Permeability: 1500}
	p := uniform(math.Pi/2, 200)
	for i := range p.Height {
		p.Height[i] *= c.Length
	}
	s := Of(c, p, true)
	near.To(t, "the rod", s.Beads[0], 2/math.Pi, 1e-4) // the mean of a quarter of a sine
	core, _ := s.Widest(CoreToWinding)
	near.To(t, "to the winding", core.Share, 2/math.Pi, 1e-4)
	near.To(t, "at its lower end", core.Height, 0, 0)
}

// Sparking: the needle figures (AIEE, as reprinted), Paschen's minimum, and a quarter off
// for radio frequency. No figure is above what a uniform field takes, nor above the
// formula that runs to 1.7 times of that.
func TestSpark(t *testing.T) {
	for mm, kV := range map[float64]float64{4.2: 5, 8.5: 10, 13: 15, 17.5: 20, 26.9: 30, 52: 50, 155: 100} {
		near.To(t, "needle gap", Spark(mm/1e3)/radio, kV*1e3, 1e-6)
		near.To(t, "reach", Reach(radio*kV*1e3)*1e3, mm, 1e-9)
	}
	// Between the points straight, from nothing on, and beyond them on the last piece: 50 kV for 103 mm.
	for mm, kV := range map[float64]float64{2.1: 2.5, 10.75: 12.5, 39.45: 40, 103.5: 75, 258: 150, 1185: 600} {
		near.Times(t, "between and beyond", Spark(mm/1e3), 0.75*kV*1e3, 1e-9)
		near.Times(t, "reach", Reach(0.75*kV*1e3), mm/1e3, 1e-9)
	}
	near.To(t, "thin air", Spark(1e-5), 0.75*327, 1e-9)
	for _, mm := range []float64{0.3, 0.5, 1, 2, 3, 5, 10, 20} {
		uniform := 24.22*mm/10 + 6.08*math.Sqrt(mm/10) // kV; from memory
		if kV := Spark(mm/1e3) / 1e3; !(kV < 0.75*uniform) {
			t.Errorf("%g mm: %g kV, a uniform field takes %g kV", mm, kV, uniform)
		}
	}
}

func TestMaySpark(t *testing.T) {
	c := beaded()
	p := uniform(1.31383772, 80)
	for i := range p.Height {
		p.Height[i] *= c.Length
	}
	s := Of(c, p, true)
	if gaps := s.MaySpark(1000); len(gaps) != 0 {
		t.Errorf("1 kV: %+v", gaps)
	}
	kinds := map[Kind]int{}
	for _, g := range s.MaySpark(20e3) { // 2.1 kV over 2 mm at the foot, where needles take 2.4
		kinds[g.Kind]++
	}
	if kinds[BetweenBeads] == 0 || kinds[BetweenBeads] == 12 || kinds[BetweenTurns] != 0 {
		t.Errorf("20 kV: %v", kinds)
	}
	for _, g := range s.MaySpark(150e3) {
		kinds[g.Kind]++
	}
	if kinds[BetweenTurns] != 1 {
		t.Errorf("150 kV, 360 V between turns: %v", kinds)
	}
}

// uniform returns the voltage and current along an even line of unit length with the
// electrical length theta, shorted at its base, in n steps: sin θx/sin θ and cos θx.
func uniform(theta float64, n int) field.Profile {
	p := field.Profile{Height: make([]float64, n+1), Voltage: make([]float64, n+1), Current: make([]float64, n+1)}
	for i := range p.Height {
		x := float64(i) / float64(n)
		p.Height[i], p.Voltage[i], p.Current[i] = x, math.Sin(theta*x)/math.Sin(theta), math.Cos(theta*x)
	}
	return p
}

// Gaps to grounded metal: from the ball to the lid right above it, from the winding to a ring
// around its middle, by their geometry; what floats is left out.
func TestGapsToMetal(t *testing.T) {
	c := beaded()
	c.Ball, c.BallGap = 0.02, 0.005
	c.Box = field.Box{Diameter: 0.2, Bottom: -0.05, Top: 0.265}
	c.Ring = field.Ring{Diameter: 0.06, Thickness: 0.008, Height: 0.11}
	c.Primary = field.Primary{Turns: 2, Diameter: 0.05, Height: 0.02, Spacing: 0.01, Wire: 0.002, Metal: field.Grounded}
	c.Plate = field.Plate{Diameter: 0.1, Hole: 0.03, Height: 0.2}
	p := uniform(1.31383772, 220)
	for i := range p.Height {
		p.Height[i] *= c.Length
	}
	s := Of(c, p, false)
	gap := func(k Kind) Gap {
		t.Helper()
		g, ok := s.Widest(k)
		if !ok {
			t.Fatalf("no gap of kind %d", k)
		}
		return g
	}
	lid := gap(ToBox)
	near.To(t, "share", lid.Share, 1, 0)
	near.To(t, "height", lid.Height, 0.245, 1e-9)
	near.To(t, "distance", lid.Distance, 0.02, 1e-9)
	// Beside the winding: at whichever height it is, voltage and distance are those there, and
	// it is no farther from sparking than the nearest place.
	const surface = 0.01215
	for k, from := range map[Kind]struct{ rho, z, radius float64 }{ToRing: {0.03, 0.11, 0.004}, ToPrimary: {0.025, 0.03, 0.001}, ToPlate: {0.015, 0.2, 0}} {
		g := gap(k)
		near.To(t, "share", g.Share, at(p, g.Height), 1e-9)
		near.To(t, "distance", g.Distance, math.Hypot(from.rho-surface, g.Height-from.z)-from.radius, 1e-9)
		if straight := from.rho - surface - from.radius; g.Share/g.Spark() < at(p, from.z)/Spark(straight)-1e-9 || g.Distance < straight-1e-9 {
			t.Errorf("%+v: straight across it is %g", g, straight)
		}
	}
	c.Ring.Floating, c.Primary.Metal = true, field.Floating
	s = Of(c, p, false)
	if _, ok := s.Widest(ToRing); ok {
		t.Error("a floating ring has a voltage of its own")
	}
}

// How far grounded metal is from a point, by its geometry: on every side of each body, of a primary up to the
// turn in which it ends, be that a part of one.
func TestDistancesFromMetal(t *testing.T) {
	c := beaded()
	c.Box = field.Box{Diameter: 0.2, Bottom: -0.05, Top: 0.265}
	c.Ring = field.Ring{Diameter: 0.06, Thickness: 0.008, Height: 0.11}
	c.Plate = field.Plate{Diameter: 0.1, Hole: 0.03, Height: 0.2}
	for _, w := range []struct {
		turns        float64
		kind         Kind
		rho, z, want float64
	}{
		{2.5, ToPrimary, 0.010, 0.03, 0.014}, {2.5, ToPrimary, 0.025, 0.01, 0.009}, {2.5, ToPrimary, 0.025, 0.06, 0.019}, {2.5, ToPrimary, 0.028, 0.044, 0.004},
		{2, ToPrimary, 0.025, 0.05, 0.019}, {1, ToPrimary, 0.025, 0.03, 0.009}, {0.5, ToPrimary, 0.025, 0.03, 0.009}, {0.5, ToPrimary, 0.025, 0.01, 0.009},
		{1, ToRing, 0.033, 0.114, 0.001}, {1, ToRing, 0.024, 0.102, 0.006},
		{1, ToPlate, 0.010, 0.2, 0.005}, {1, ToPlate, 0.053, 0.204, 0.005}, {1, ToPlate, 0.03, 0.19, 0.01}, {1, ToPlate, 0.012, 0.204, 0.005},
		{1, ToBox, 0.09, 0.1, 0.01}, {1, ToBox, 0.01, -0.045, 0.005}, {1, ToBox, 0.01, 0.262, 0.003},
	} {
		c.Primary = field.Primary{Turns: w.turns, Diameter: 0.05, Height: 0.02, Spacing: 0.01, Wire: 0.002, Metal: field.Grounded}
		list := grounded(c)
		for i, b := range list {
			if b.kind != []Kind{ToPrimary, ToRing, ToPlate, ToBox}[i] || len(list) != 4 {
				t.Fatalf("body %d of %d is %v", i, len(list), b.kind)
			}
			if b.kind == w.kind {
				near.To(t, fmt.Sprintf("%+v", w), b.from(w.rho, w.z), w.want, 1e-12)
			}
		}
	}
	c.Primary.Metal, c.Ring.Floating = field.Floating, true
	if list := grounded(c); len(list) != 2 {
		t.Errorf("%d bodies are grounded beside what floats", len(list))
	}
	c.Primary.Metal = field.NotCounted
	if list := grounded(c); len(list) != 2 {
		t.Errorf("%d bodies are grounded beside what doesn't count", len(list))
	}
}

// A plate between winding and ball is nearest to the ball's lowest point.
func TestBallAboveAPlate(t *testing.T) {
	c := beaded()
	c.Ball, c.BallGap, c.Plate = 0.02, 0.02, field.Plate{Diameter: 0.1, Height: c.Length + 0.015}
	p := uniform(1.31383772, 220)
	for i := range p.Height {
		p.Height[i] *= c.Length
	}
	s := Of(c, p, false)
	g, ok := s.Widest(ToPlate)
	if !ok {
		t.Fatal("no gap to the plate")
	}
	near.To(t, "share", g.Share, 1, 0)
	near.To(t, "height", g.Height, c.Length+0.02, 1e-9)
	near.To(t, "distance", g.Distance, 0.005, 1e-9)
}

// The widest gap of a kind is that of the largest share, wherever it stands; also one over which there is nothing.
func TestWidest(t *testing.T) {
	s := Stress{Gaps: []Gap{{Kind: BetweenBeads, Lower: 1, Share: 0.1}, {Kind: ToRing}, {Kind: BetweenBeads, Lower: 2, Share: 0.3}, {Kind: BetweenTurns, Share: 0.9}, {Kind: BetweenBeads, Lower: 3, Share: 0.2}}}
	if g, ok := s.Widest(BetweenBeads); !ok || g.Lower != 2 {
		t.Errorf("%+v, %v", g, ok)
	}
	if g, ok := s.Widest(ToRing); !ok || g.Kind != ToRing {
		t.Errorf("%+v, %v", g, ok)
	}
	if g, ok := s.Widest(ToPlate); ok {
		t.Errorf("%+v", g)
	}
}

// What may spark is told in the order of how far above its sparking voltage it is, wherever it stands.
func TestOrderOfWhatMaySpark(t *testing.T) {
	s := Stress{}
	for i, c := range []struct{ share, height, distance float64 }{{0.3, 0.9, 20e-3}, {0.9, 0.1, 40e-3}, {0.05, 2, 10e-3}, {0.4, 0.5, 3e-3}, {0.6, 0.3, 15e-3}, {0.001, 5, 30e-3}} {
		s.Gaps = append(s.Gaps, Gap{Kind: BetweenBeads, Lower: i, Share: c.share, Height: c.height, Distance: c.distance})
	}
	const v = 60e3
	var want []int
	for i := range s.Gaps {
		if s.Gaps[i].Share*v > Spark(s.Gaps[i].Distance) {
			want = append(want, i)
		}
	}
	slices.SortFunc(want, func(i, j int) int {
		return cmp.Compare(s.Gaps[j].Share/Spark(s.Gaps[j].Distance), s.Gaps[i].Share/Spark(s.Gaps[i].Distance))
	})
	var got []int
	for _, g := range s.MaySpark(v) {
		got = append(got, g.Lower)
	}
	if !slices.Equal(got, want) || !slices.Equal(got, []int{3, 4, 1, 0}) {
		t.Errorf("%v, want %v", got, want)
	}
}
