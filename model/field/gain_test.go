package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// gainOf returns the gain of a core in a winding of diameter 1.
func gainOf(t *testing.T, length float64, b Beads) float64 {
	t.Helper()
	return 1 + newBody(b, normal()).added(t, 0.5, []float64{0, length}).At(0, 0)/sheetSelf(1, length)
}

// added returns the matrix [H m²] that the core adds to a winding of one turn per metre,
// between its slices [z_i, z_i+1].
func (m *body) added(t *testing.T, radius float64, z []float64) *mat.SymDense {
	t.Helper()
	return must.Get(m.response(m.p, 1/(m.beads.Permeability-1), m.solenoids(radius, z), Mu0)).In(t)
}

// Gains of a solid rod in the middle of a current sheet, and of one as long as
// the sheet that slides in; linear material without loss. Computed independently by
// boundary elements, checked by finite elements (finiteelement_test.go).
func TestGainOfRod(t *testing.T) {
	worst := 0.0
	check := func(length, diameter, mu, rod, start, want float64) {
		t.Helper()
		g := gainOf(t, length, Beads{Diameter: diameter, Length: rod, Start: start, Count: 1, Permeability: mu})
		worst = math.Max(worst, math.Abs(g/want-1))
		if !(math.Abs(g/want-1) <= 0.01) {
			t.Errorf("l/D %g, µ %g, rod %g from %g: gain %.4g, by boundary elements %.4g", length, mu, rod, start, g, want)
		}
	}
	centred := func(length, diameter, mu float64, ratios, wants []float64) {
		for i, x := range ratios {
			check(length, diameter, mu, x*length, length*(1-x)/2, wants[i])
		}
	}
	slim := []float64{0.1, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 2}
	centred(10, 0.8, 10, slim, []float64{1.197, 1.803, 3.120, 4.526, 5.786, 6.073, 6.107, 6.137})
	centred(10, 0.8, 100, slim, []float64{1.291, 2.669, 7.729, 15.88, 25.79, 31.95, 35.10, 38.06})
	centred(10, 0.8, 400, slim, []float64{1.302, 2.818, 9.08, 20.83, 37.62, 51.56, 61.69, 75.89})
	centred(10, 0.8, 2000, slim, []float64{1.305, 2.862, 9.53, 22.74, 42.94, 61.75, 77.54, 104.7})
	stout := []float64{0.25, 0.5, 1, 1.5, 2}
	centred(5, 0.5, 100, stout, []float64{1.530, 3.108, 8.702, 12.23, 13.59})
	centred(5, 0.5, 400, stout, []float64{1.567, 3.431, 11.50, 18.99, 23.84})
	centred(5, 0.5, 2000, stout, []float64{1.578, 3.534, 12.62, 22.41, 30.25})
	for i, x := range []float64{0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1} {
		check(10, 0.8, 100, 10, 10*(x-1), []float64{1.015, 1.630, 3.426, 6.311, 10.07, 14.42, 19.02, 23.29, 25.79}[i])
		check(10, 0.8, 400, 10, 10*(x-1), []float64{1.016, 1.733, 4.031, 8.037, 13.58, 20.25, 27.40, 33.94, 37.62}[i])
	}
	t.Logf("worst of 65: %.2f %%", 100*worst)
}

// Segmented rods as long as the winding, l/D = 10, rod 0.8 D. Computed independently by
// boundary elements, checked by finite elements (finiteelement_test.go).
func TestGainOfBeads(t *testing.T) {
	worst := 0.0
	for _, c := range []struct {
		mu        float64
		n         int
		gap, want float64
	}{
		{100, 2, 0.05, 21.85}, {100, 2, 0.25, 17.24}, {100, 5, 0.05, 15.99}, {100, 5, 0.25, 8.46},
		{100, 10, 0.05, 11.18}, {100, 10, 0.25, 4.39}, {100, 10, 0.5, 2.61},
		{400, 2, 0.05, 29.51}, {400, 2, 0.25, 21.62}, {400, 5, 0.05, 19.65}, {400, 5, 0.25, 9.34},
		{400, 10, 0.05, 12.78}, {400, 10, 0.25, 4.58}, {2000, 5, 0.05, 20.93}, {2000, 10, 0.05, 13.29},
	} {
		gap := 0.8 * c.gap
		b := Beads{Diameter: 0.8, Length: (10 - float64(c.n-1)*gap) / float64(c.n), Spacing: gap, Count: c.n, Permeability: c.mu}
		g := gainOf(t, 10, b)
		worst = math.Max(worst, math.Abs(g/c.want-1))
		if !(math.Abs(g/c.want-1) <= 0.01) {
			t.Errorf("µ %g, %d beads, gap %g d: gain %.4g, by boundary elements %.4g", c.mu, c.n, c.gap, g, c.want)
		}
	}
	t.Logf("worst of 15: %.2f %%", 100*worst)
}

// Beads without a gap are a rod.
func TestTouchingBeads(t *testing.T) {
	rod := Beads{Diameter: 0.6, Length: 4, Start: 1, Count: 1, Permeability: 50}
	beads := rod
	beads.Length, beads.Count = 0.5, 8
	near.Times(t, "gain", gainOf(t, 6, beads), gainOf(t, 6, rod), 5e-3)
}

// A long rod of low permeability in a long winding: 1 + (µ−1)(d/D)².
func TestGainLimit(t *testing.T) {
	if g := gainOf(t, 60, Beads{Diameter: 0.8, Length: 80, Start: -10, Count: 1, Permeability: 2}); !(math.Abs(g/1.64-1) <= 5e-3) {
		t.Errorf("gain %.4f, want 1.64", g)
	}
}

// Against finer surfaces and all fluxes instead of a few modes a bead: the
// default, and the roughness of patterns.
func TestGainResolution(t *testing.T) {
	for _, b := range []Beads{
		{Diameter: 0.8, Length: 0.9, Spacing: 0.1, Count: 10, Permeability: 200},
		{Diameter: 0.5, Length: 0.96, Spacing: 0.04, Count: 10, Permeability: 2000},
		{Diameter: 0.8, Length: 0.2, Spacing: 0.05, Count: 40, Permeability: 200},
		{Diameter: 0.4, Length: 1.6, Spacing: 0.4, Count: 5, Permeability: 20},
	} {
		gain := func(m *body) float64 {
			return 1 + m.added(t, 0.5, []float64{0, 10}).At(0, 0)/sheetSelf(1, 10)
		}
		r := resolution{edge: 0.01, most: 0.125, growth: 1.5, rings: 10}
		want := gain(newBody(b, r))
		for _, c := range []struct {
			r    resolution
			band float64
		}{{normal(), 0.006}, {rough(), 0.025}} {
			off := gain(newBody(b, c.r))/want - 1
			t.Logf("%+v, %+v: %+.2f %%", b, c.r, 100*off)
			if !(math.Abs(off) <= c.band) {
				t.Errorf("%+v, %+v: %+.2f %% off", b, c.r, 100*off)
			}
		}
	}
}
