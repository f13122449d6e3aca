package field

import (
	"math"
	"sort"
	"testing"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

func newLadder(t testing.TB, s Shape) *Ladder {
	t.Helper()
	return must.Get(NewLadder(s)).In(t)
}

// slim is the winding of most tests, with a segmented core.
func slim() Shape {
	return Shape{Diameter: 0.024, Length: 0.22, Core: Beads{Diameter: 0.012, Length: 0.018, Spacing: 0.002}}
}

// uncoupled returns a ladder without any coupling between slices: a uniform
// line.
func uncoupled(n int) *Ladder {
	ones, unit, column := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range ones {
		ones[i] = 1 / float64(n)
	}
	inductance, capacitance := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	for i := range n {
		inductance.SetSym(i, i, 1/float64(n))
		unit[i] = 1
		even(column, ones, unit)
		unit[i] = 0
		for j := i; j < n; j++ {
			capacitance.SetSym(i, j, column[j])
		}
	}
	l := &Ladder{shape: Shape{Slices: n}, l: whole(inductance), c: whole(capacitance)}
	return l
}

// The uniform line, base shorted, loaded at the top: cot θ = θ Ct/Cw.
func TestUniformLine(t *testing.T) {
	for _, c := range []struct{ ratio, theta, effective float64 }{
		{0, 1.57079633, 0.405285}, {0.1, 1.42887001, 0.389795}, {0.2, 1.31383772, 0.379317},
		{0.5, 1.07687399, 0.362324}, {1, 0.86033359, 0.351034}, {2, 0.65327119, 0.343220},
		{5, 0.43284072, 0.337572}, {10, 0.31105285, 0.335503}, {20, 0.22176039, 0.334431},
	} {
		var m Mode
		s := State{Inductance: 1, Capacitance: 1, Top: c.ratio}
		uncoupled(40).Resonate(s, &m)
		near.Times(t, "θ", m.Omega, c.theta, 2e-5)
		near.Times(t, "effective capacitance", 1/(m.Omega*m.Omega)-c.ratio, c.effective, 2e-4)
		near.Times(t, "current at the base", m.BaseCurrent, 1/math.Sin(c.theta), 2e-3)
		uncoupled(320).Resonate(s, &m) // of second order: 64 times better
		near.Times(t, "θ", m.Omega, c.theta, 3e-7)
		near.Times(t, "effective capacitance", 1/(m.Omega*m.Omega)-c.ratio, c.effective, 4e-6)
	}
}

// State.Capacitance stores under a linear voltage what an even line does, C/3.
func TestLadderCapacitance(t *testing.T) {
	l := newLadder(t, slim())
	v, q := make([]float64, 40), make([]float64, 40)
	for k := range v {
		v[k] = float64(k+1) / 40
	}
	blas64.Gemv(blas.NoTrans, 1, l.c, vector(v), 0, vector(q))
	near.Times(t, "energy", blas64.Dot(vector(v), vector(q)), 1./3, 1e-12)
}

// All capacitance at the top is the lumped circuit.
func TestLumped(t *testing.T) {
	var m Mode
	newLadder(t, slim()).Resonate(State{Inductance: 2e-3, Top: 3e-12}, &m)
	near.Times(t, "ω", m.Omega, 1/math.Sqrt(6e-15), 1e-12)
	near.Times(t, "effective capacitance", m.Capacitance, 3e-12, 1e-12)
}

// The powers find what gonum finds as the lowest generalised eigenvalue.
func TestEigenvalue(t *testing.T) {
	c := Coil{Turns: 300, Diameter: 0.03, Length: 0.1, Ball: 0.02, Height: 0.1,
		Beads: Beads{Diameter: 0.02, Length: 0.02, Count: 2, Permeability: 50}}
	const n = 30
	k := must.Get(c.circuit(n, true, math.Inf(1), normal())).In(t)
	var m Mode
	k.resonate(0, &m)

	sum := mat.NewTriDense(n, mat.Lower, nil) // voltages from fluxes
	for i := range n {
		for j := range i + 1 {
			sum.SetTri(i, j, 1)
		}
	}
	var a, b, operator mat.Dense
	a.Mul(k.l, sum.T())
	b.Mul(sum, &a)
	operator.Mul(&b, k.c)
	var eigen mat.Eigen
	if !eigen.Factorize(&operator, mat.EigenNone) {
		t.Fatal("no eigenvalues")
	}
	var omegas []float64
	for _, v := range eigen.Values(nil) {
		omegas = append(omegas, 1/math.Sqrt(real(v)))
	}
	sort.Float64s(omegas)
	near.Times(t, "lowest ω", m.Omega, omegas[0], 1e-11)
}

// The sensitivities are those of central differences.
func TestShares(t *testing.T) {
	l := newLadder(t, slim())
	base := State{Inductance: 1.1e-3, Capacitance: 5.3e-12, Top: 0.9e-12, Cores: []Stretch{
		{From: 0.07, To: 0.43, Gain: 2.3, Capacitance: 0.2e-12},
		{From: 0.51, To: 1, Length: 0.15, Gain: 0.8, Capacitance: 0.1e-12},
	}}
	at := func(change func(s *State)) float64 {
		s := base
		s.Cores = append([]Stretch(nil), base.Cores...)
		change(&s)
		var m Mode
		l.Resonate(s, &m)
		return math.Log(m.Omega)
	}
	var m Mode
	l.Resonate(base, &m)
	check := func(what string, got, scale float64, change func(s *State, by float64)) {
		t.Helper()
		const h = 1e-4
		want := (at(func(s *State) { change(s, h) }) - at(func(s *State) { change(s, -h) })) / (2 * h)
		if !(math.Abs(got*scale-want) <= 1e-7*math.Abs(want)) {
			t.Errorf("%s: %.10g, differences %.10g", what, got*scale, want)
		}
	}
	check("winding", m.PerWinding, 5.3e-12, func(s *State, by float64) { s.Capacitance *= 1 + by })
	check("top", m.PerTop, 0.9e-12, func(s *State, by float64) { s.Top *= 1 + by })
	for i, c := range base.Cores {
		check("gain", m.Cores[i].PerGain, 1, func(s *State, by float64) { s.Cores[i].Gain *= math.Exp(by) })
		check("core capacitance", m.Cores[i].PerCapacitance, c.Capacitance, func(s *State, by float64) { s.Cores[i].Capacitance *= 1 + by })
	}
	// Beyond what a material gives, the extreme material is scaled.
	most, _ := l.full.gain(0)
	for _, g := range []float64{2 * most, 0.2} {
		base.Cores[0].Gain = g
		l.Resonate(base, &m)
		check("extreme gain", m.Cores[0].PerGain, 1, func(s *State, by float64) { s.Cores[0].Gain *= math.Exp(by) })
	}
	// A gain of exactly 1 is the limit of gains near it.
	base.Cores = base.Cores[:1]
	base.Cores[0].Gain = 1
	l.Resonate(base, &m)
	check("gain at 1", m.Cores[0].PerGain, 1, func(s *State, by float64) { s.Cores[0].Gain *= math.Exp(by) })
}

// With a core all along the winding, one current in all turns finds the gain.
func TestFullGain(t *testing.T) {
	for _, s := range []Shape{slim(), {Diameter: 0.05, Length: 0.04}} {
		l := newLadder(t, s)
		for _, g := range []float64{0.4, 0.9, 1.2, 3, 20, 300} {
			var ld load
			ld.set(l.full, l.full, g)
			n := l.shape.Slices
			ones, phi := make([]float64, n), make([]float64, n)
			for i := range ones {
				ones[i] = 1
			}
			blas64.Gemv(blas.NoTrans, 1, l.l, vector(ones), 0, vector(phi))
			ld.flux(phi, ones)
			sum := 0.0
			for _, x := range phi {
				sum += x
			}
			near.Times(t, "gain", sum, g, 1e-10)
		}
	}
}

// What a stretch does is continuous from nothing to everything covered.
func TestStretchLimits(t *testing.T) {
	s := slim()
	s.Core.Length, s.Core.Spacing = 0, 0 // a rod: no whole number of beads to jump
	l := newLadder(t, s)
	omega := func(cores ...Stretch) float64 {
		var m Mode
		l.Resonate(State{Inductance: 1e-3, Capacitance: 5e-12, Top: 1e-12, Cores: cores}, &m)
		return m.Omega
	}
	near.Times(t, "hardly covered", omega(Stretch{From: 0.5, To: 0.5005, Gain: 3}), omega(), 1e-4)
	near.Times(t, "almost all covered", omega(Stretch{From: 0, To: 0.9999, Gain: 3}), omega(Stretch{From: 0, To: 1, Gain: 3}), 1e-4)
	near.Times(t, "gain 1", omega(Stretch{From: 0.1, To: 0.6, Gain: 1}), omega(), 1e-12)
	near.Times(t, "gain near 1", omega(Stretch{From: 0.1, To: 0.6, Gain: 1 + 1e-9}), omega(), 1e-9)
	long := Stretch{From: 0, To: 0.5, Length: 0.11 * (1 + 1e-9), Gain: 3}
	near.Times(t, "no longer than its stretch", omega(long), omega(Stretch{From: 0, To: 0.5, Gain: 3}), 1e-6)
	if a, b := omega(Stretch{From: 0, To: 0.5, Length: 0.3, Gain: 3}), omega(Stretch{From: 0, To: 0.5, Gain: 3}); a >= b {
		t.Errorf("a core that sticks out must lower ω: %g, cut off %g", a, b)
	}
}

func TestNoResonance(t *testing.T) {
	l := newLadder(t, slim())
	core := func(c Stretch) State { return State{Inductance: 1e-3, Capacitance: 5e-12, Cores: []Stretch{c}} }
	for _, s := range []State{
		{Inductance: 1e-3}, {Capacitance: 1e-12}, {Inductance: -1e-3, Capacitance: 1e-12}, {Inductance: math.NaN(), Capacitance: 1e-12},
		{Inductance: 1e-3, Capacitance: 5e-12, Top: -9e-12}, {Inductance: 1e-3, Capacitance: -1e-12, Top: 2e-12},
		core(Stretch{From: 0, To: 1, Gain: -1}), core(Stretch{From: 0, To: 1, Gain: math.NaN()}),
		core(Stretch{From: 0.6, To: 0.4, Gain: 2}), core(Stretch{From: 0.5, To: 1.2, Gain: 2}),
		core(Stretch{From: 0, To: 1, Gain: math.Inf(1)}),
	} {
		var m Mode
		l.Resonate(s, &m)
		if !math.IsNaN(m.Omega) || !math.IsNaN(m.PerTop) || !math.IsNaN(m.PerWinding) {
			t.Errorf("%+v: %+v, expected no resonance", s, m.Omega)
		}
	}
	for _, s := range []Shape{{}, {Diameter: 0.02}, {Diameter: 0.02, Length: -1}, {Diameter: 0.02, Length: 0.1, Core: Beads{Diameter: 0.03}}, {Diameter: math.NaN(), Length: 1}} {
		if _, err := NewLadder(s); err == nil {
			t.Errorf("%+v: expected an error", s)
		}
	}
}

// What a core adds along its stretch is all of its capacitance, spread evenly: a little of
// it lowers ω by what Rayleigh's principle says of the voltage there, ½ C mean(V²) over the
// capacitance that stores as much at the top.
func TestCapacitanceAlongAStretch(t *testing.T) {
	s := slim()
	s.Core.Length, s.Core.Spacing = 0, 0 // adds none by itself
	l := newLadder(t, s)
	base := State{Inductance: 1e-3, Capacitance: 5e-12, Top: 1e-12}
	var m Mode
	l.Resonate(base, &m)
	omega, whole, n := m.Omega, m.Capacitance, len(m.Voltage)
	voltage := append([]float64{0}, m.Voltage...) // at the ends of the slices
	for _, c := range [][2]float64{{0, 1}, {0, 0.5}, {0.2, 0.6}, {0.7, 1}} {
		const added = 1e-16
		sum := 0.0
		from, to := int(math.Round(c[0]*float64(n))), int(math.Round(c[1]*float64(n)))
		for k := from; k < to; k++ {
			v, w := voltage[k], voltage[k+1]
			sum += (v*v + v*w + w*w) / 3 / float64(to-from)
		}
		base.Cores = []Stretch{{From: c[0], To: c[1], Gain: 1, Capacitance: added}}
		l.Resonate(base, &m)
		near.Times(t, "shift", (1-m.Omega/omega)*2*whole/added, sum/(voltage[n]*voltage[n]), 5e-3)
		near.Times(t, "sensitivity", -m.Cores[0].PerCapacitance*2*whole, sum/(voltage[n]*voltage[n]), 5e-3)
	}
}
