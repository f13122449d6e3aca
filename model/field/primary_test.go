package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Coaxial loops: Neumann's integral and Maxwell's elliptic form agree to all digits
// shown (computed in two ways, with μ0 = 4π·1e-7).
func TestLoopMutual(t *testing.T) {
	for _, c := range []struct{ a, b, z, nH float64 }{
		{100, 100, 10, 300.287630}, {100, 100, 50, 111.261089}, {100, 100, 100, 49.407846}, {100, 100, 200, 14.185993},
		{100, 50, 0, 54.861795}, {100, 50, 50, 34.936623}, {250, 250, 10, 1036.664849}, {12, 20, 0, 16.721839}, {12, 20, 20, 4.495375},
	} {
		got := LoopMutual(c.a/1e3, c.b/1e3, c.z/1e3) * (4e-7 * math.Pi / Mu0)
		near.Times(t, "mutual inductance", got*1e9, c.nH, 5.5e-7/c.nH) // half a last digit
		neumann := quad.Fixed(func(phi float64) float64 {
			return math.Cos(phi) / math.Sqrt(c.a*c.a+c.b*c.b-2*c.a*c.b*math.Cos(phi)+c.z*c.z)
		}, 0, math.Pi, 800, nil, 0)
		near.Times(t, "Neumann's integral", 1e9*got, 1e9*4e-7*math.Pi*c.a*c.b*neumann/1e3, 1e-9)
	}
}

// A loop's share in a sheet, summed by halves, is that of loops set close.
func TestLoopSheet(t *testing.T) {
	for _, b := range []float64{0.0121, 0.02} {
		sum := 0.0
		const n = 20000
		for i := range n {
			sum += LoopMutual(0.012, b, 0.05*(float64(i)+0.5)/n-0.013) * 0.05 / n
		}
		near.Times(t, "flux", loopSheet(0.012, 0.013, b, 0, 0.05, 12), sum, 1e-5)
	}
}

// spread is a winding in n slices with the capacitance cw [F] spread evenly, ct at
// the top, as a sheet.
func spread(c Coil, n int, cw, ct float64) circuit {
	m, _ := c.magnetic(n, false, normal())
	m.l = SliceInductance(c.Turns, c.Diameter, c.Length, n)
	k := circuit{m, mat.NewSymDense(n, nil)}
	each, unit, column := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range each {
		each[i] = cw / float64(n)
	}
	for i := range n {
		unit[i] = 1
		even(column, each, unit)
		unit[i] = 0
		for j := i; j < n; j++ {
			k.c.SetSym(i, j, column[j])
		}
	}
	k.c.SetSym(n-1, n-1, k.c.At(n-1, n-1)+ct)
	return k
}

// A distributed secondary: coupling from frequencies, by the mode and of the windings
// are three numbers (computed by another program, 220 slices).
func TestCouplingOfDistributedSecondary(t *testing.T) {
	c := Coil{Turns: 560, Diameter: 0.024, Length: 0.22}
	for _, w := range []struct{ pF, mm, open, shorted, windings, mode, resonance float64 }{
		{1, -10, 3614.917, 3624.524, 0.05827, 0.07279, 0.07276},
		{1, 0, 3614.917, 3649.617, 0.10991, 0.13778, 0.13757},
		{1, 20, 3614.917, 3702.021, 0.17366, 0.21628, 0.21565},
		{1, 40, 3614.917, 3713.914, 0.18828, 0.22981, 0.22935},
		{1, 80, 3614.917, 3704.335, 0.19436, 0.21858, 0.21839},
		{1, 110, 3614.917, 3687.526, 0.19499, 0.19775, 0.19747},
		{1, 200, 3614.917, 3630.412, 0.16730, 0.09258, 0.09229},
		{40, 0, 889.497, 895.082, 0.10991, 0.11155, 0.11154},
		{40, 20, 889.497, 903.625, 0.17366, 0.17619, 0.17614},
		{40, 110, 889.497, 907.004, 0.19499, 0.19554, 0.19553},
	} {
		c.Primary = Primary{Turns: 2, Diameter: 0.04, Height: w.mm / 1e3, Spacing: 0.004, Wire: 0.001}
		near.Times(t, "inductance of the primary", c.Primary.Inductance()*1e9, 275.57, 2e-5)
		k := spread(c, 110, 4e-12, w.pF*1e-12)
		var m Mode
		k.resonate(0, &m)
		got, open, shorted := k.resonance(0)
		near.Times(t, "open", open/1e3, w.open, 1e-3)
		near.Times(t, "shorted over open", shorted/open, w.shorted/w.open, 1e-5)
		near.Times(t, "coupling of the windings", k.windings(), w.windings, 1e-3)
		near.Times(t, "coupling by the mode", k.mode(&m), w.mode, 2e-3)
		near.Times(t, "coupling at resonance", got, w.resonance, 2e-3)
		near.Times(t, "ratio", got/k.windings(), w.resonance/w.windings, 2e-3) // to 1 % at the least
	}
}

// By reciprocity, a primary that is itself a winding sees a core as the winding does:
// with the primary taken for another winding of the same drawing, the couplings'
// sum is what one inductance matrix of both together says.
func TestCoreRaisesCoupling(t *testing.T) {
	c := lighthouse()
	c.Primary = Primary{Turns: 20, Diameter: c.Diameter, Height: 0.05 + 0.0005, Spacing: 0.001, Wire: 0.0009}
	b := newBody(c.Beads, normal())
	// The primary's stretch of the sheet as a slice of the winding itself.
	l := b.added(t, c.Diameter/2, []float64{0, 0.05, 0.07, 0.22})
	k := must.Get(c.magnetic(22, true, normal())).In(t)
	air := must.Get(c.magnetic(22, false, normal())).In(t)
	density := c.Turns / c.Length * 20 / 0.02
	want := (l.At(0, 1) + l.At(1, 1) + l.At(2, 1)) * density
	near.Times(t, "mutual inductance by the core", floats.Sum(k.row)-floats.Sum(air.row), want, 1e-9)
	near.Times(t, "the primary's own", k.own-air.own, l.At(1, 1)*20/0.02*20/0.02, 1e-9)
	if !(floats.Sum(k.row) > 1.5*floats.Sum(air.row)) {
		t.Errorf("a core of gain 4 takes the mutual inductance from %g to %g", floats.Sum(air.row), floats.Sum(k.row))
	}
}

// The ladder that a fit uses says by how much its mode changes the coupling, as the
// drawing's own circuit does, bare, loaded, and with the core.
func TestLadderCoupling(t *testing.T) {
	c := lighthouse()
	c.Primary = Primary{Turns: 2, Diameter: 0.04, Height: 0.003, Spacing: 0.004, Wire: 0.001}
	l := newLadder(t, Shape{Diameter: c.Diameter, Length: c.Length, Height: c.Height, Core: c.Beads, Primary: c.Primary})
	p := predict(t, c)
	s := State{Inductance: p.Inductance.Value, Capacitance: p.WindingCapacitance.Value, Top: p.TopCapacitance.Value}
	var m Mode
	l.Resonate(s, &m)
	near.Times(t, "in air", m.Coupling, p.Primary.Air.Resonance.Value/p.Primary.Air.Windings.Value, 5e-3)
	loaded := s
	loaded.Top += 10 * s.Capacitance
	l.Resonate(loaded, &m)
	near.Times(t, "loaded", m.Coupling, 1, 0.015)
	s.Cores = []Stretch{{From: 0, To: 1, Gain: p.Core.Full.Value}}
	l.Resonate(s, &m)
	near.Times(t, "with the core", m.Coupling, p.Primary.Core.Resonance.Value/p.Primary.Core.Windings.Value, 5e-3)
	if air, core := p.Primary.Air.Windings.Value, p.Primary.Core.Windings.Value; !(core > air && core < 1) {
		t.Errorf("couplings %g in air, %g with the core", air, core)
	}
	t.Logf("air %+v, core %+v", p.Primary.Air, *p.Primary.Core)
}

// mode returns the coupling by the mode m, |Σ M_j i_j|/√(L1 ΣΣ i L i).
func (k circuit) mode(m *Mode) float64 {
	i := mat.NewVecDense(len(m.Current), m.Current)
	return math.Abs(floats.Dot(k.row, m.Current)) / math.Sqrt(k.own*mat.Inner(i, k.l, i))
}
