package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"

	"fitcoil/internal/near"
)

// Nagaoka 1909; National Bureau of Standards Circular 74, table 10.
func TestNagaoka(t *testing.T) {
	for _, c := range []struct{ u, k float64 }{
		{0.01, 0.995768}, {0.02, 0.991562}, {0.05, 0.979092}, {0.1, 0.958807}, {0.15, 0.939143},
		{0.2, 0.920093}, {0.25, 0.901649}, {0.3, 0.883803}, {0.4, 0.849853}, {0.5, 0.818136},
		{0.6, 0.788525}, {0.7, 0.760885}, {0.8, 0.735079}, {0.9, 0.710969}, {1, 0.688423},
		{1.25, 0.638094}, {1.5, 0.595046}, {2, 0.525510}, {3, 0.429199}, {4, 0.365432},
		{5, 0.319825}, {10, 0.203324}, {20, 0.123615}, {100, 0.034960},
	} {
		if got := Nagaoka(c.u); !(math.Abs(got-c.k) <= 5.1e-7) {
			t.Errorf("K(%g) = %.8f, want %.6f", c.u, got, c.k)
		}
	}
}

// The expansions must meet the closed form where they take over.
func TestNagaokaEnds(t *testing.T) {
	for _, u := range []float64{0.01, 100} {
		below, above := Nagaoka(u*(1-1e-12)), Nagaoka(u*(1+1e-12))
		if !(math.Abs(below/above-1) <= 1e-11) {
			t.Errorf("at %g: %.15f from below, %.15f from above", u, below, above)
		}
	}
	if Nagaoka(0) != 1 {
		t.Errorf("K(0) = %g", Nagaoka(0))
	}
	// A narrow ring, Rayleigh and Niven 1881: L = μ0 a (ln 8a/l − ½).
	u := 1e6
	if got, want := Nagaoka(u), 2/(math.Pi*u)*(math.Log(4*u)-0.5); !(math.Abs(got/want-1) <= 1e-11) {
		t.Errorf("K(%g) = %g, want %g", u, got, want)
	}
}

// A worked coil: 500 turns, 50 mm across, 250 mm long. Wheeler's formula
// (Proc. IRE 16 (1928) 1398), in its form 1/(1 + 0.45 D/l), is a check of
// order one per cent for l > 0.4 D.
func TestSheetInductance(t *testing.T) {
	if got := SheetInductance(500, 0.05, 0.25); !(math.Abs(got-2.270238e-3) <= 5e-10) {
		t.Errorf("L = %.9g, want 2.270238 mH", got)
	}
	for _, c := range []struct{ u, off float64 }{{0.2, -0.29e-2}, {0.25, -0.31e-2}, {1.5, 0.33e-2}, {3, -0.85e-2}, {4, -2.3e-2}} {
		if off := 1 / (1 + 0.45*c.u) / Nagaoka(c.u); !(math.Abs(off-1-c.off) <= 5e-4) {
			t.Errorf("Wheeler at D/l = %g is %+.2f %% off, want %+.2f %%", c.u, 100*(off-1), 100*c.off)
		}
	}
}

func TestSheetMutualIntegral(t *testing.T) {
	const a = 0.012
	for _, b := range []float64{0.0119, 0.01, 0.003} {
		for _, z := range []float64{0, 1e-4, 0.004, 0.05, 2} {
			// Neumann's integral, integrated over both lengths.
			want := quad.Fixed(func(phi float64) float64 {
				s2 := a*a + b*b - 2*a*b*math.Cos(phi)
				s := math.Sqrt(s2)
				return Mu0 * a * b * math.Cos(phi) * (z*math.Asinh(z/s) - math.Hypot(z, s))
			}, 0, math.Pi, 4000, nil, 0)
			if got := sheetMutual(a, b, z); !(math.Abs(got/want-1) <= 1e-8) {
				t.Errorf("b = %g, z = %g: %g, want %g", b, z, got, want)
			}
		}
	}
}

func TestSinCosSquared(t *testing.T) {
	const m = 1e-3
	at := func(m float64) float64 { b, d := completeBD(m); return sinCosSquared(m, b, d) }
	near.Times(t, "series and closed form", at(m*(1-1e-12)), at(m*(1+1e-12)), 1e-9)
}

// A sheet inside and close to another couples as the sheet does with itself.
func TestSheetMutualLimit(t *testing.T) {
	const a, l = 1.0, 3.0
	b := a * (1 - 1e-7)
	got := 2 * (sheetMutual(a, b, l) - sheetMutual(a, b, 0))
	if want := sheetSelf(2*a, l); !(math.Abs(got/want-1) <= 1e-5) {
		t.Errorf("%g, want %g", got, want)
	}
}

func TestSliceInductance(t *testing.T) {
	const turns, d, l, n = 100, 0.05, 0.12, 7
	m := SliceInductance(turns, d, l, n)
	sum := 0.0
	for i := range n {
		for j := range n {
			sum += m.At(i, j)
		}
	}
	if want := SheetInductance(turns, d, l); !(math.Abs(sum/want-1) <= 1e-12) {
		t.Errorf("slices add up to %g, whole is %g", sum, want)
	}
	// Far slices are loops: M = μ0 π a⁴/2z³ each turn (Smythe, 8.06).
	long := SliceInductance(1000, 0.01, 10, 1000)
	a, z := 0.005, 5.0
	if got, want := long.At(0, 500), Mu0*math.Pi*a*a*a*a/(2*z*z*z); !(math.Abs(got/want-1) <= 1e-3) {
		t.Errorf("far slices: %g, loops: %g", got, want)
	}
}

// sheetMutual returns the function M(z) [H m²] whose second differences are
// the mutual inductances of coaxial sheets of one turn per metre and radii a ≠ b
// [m]: of [z1, z2] and [z3, z4] it is
//
//	M(z1−z4) + M(z2−z3) − M(z1−z3) − M(z2−z4).
//
// Neumann's integral of two loops, integrated over both lengths and twice by
// parts over the angle between them, becomes
//
//	M(z) = ½ μ0 a²b² ∮ sin²φ √(s²+z²)/s² dφ,  s² = a² + b² − 2ab cos φ,
//
// and with φ = π − 2θ three complete elliptic integrals.
func sheetMutual(a, b, z float64) float64 {
	sum := a + b
	w2 := sum*sum + z*z
	m := 4 * a * b / w2
	q := 4 * a * b / (sum * sum)
	p := (a - b) * (a - b) / (sum * sum)
	kb, kd := completeBD(m)
	third := cel(math.Sqrt(((a-b)*(a-b)+z*z)/w2), p, 1, 1)
	near := sinCosSquared(m, kb, kd)    // ∫ sin²θ cos²θ/Δ
	far := kd/q + p/(q*q)*(kb+kd-third) // ∫ sin²θ cos²θ/((cos²θ+p sin²θ)Δ)
	return 8 * Mu0 * a * a * b * b / math.Sqrt(w2) * (near + z*z/(sum*sum)*far)
}

// sinCosSquared returns ∫sin²θ cos²θ/Δ over [0, π/2], given ∫cos²θ/Δ and
// ∫sin²θ/Δ.
func sinCosSquared(m, b, d float64) float64 {
	if m < 1e-3 { // the closed form cancels
		return math.Pi / 16 * (1 + m*(1./4+m*(15./128+m*35./512)))
	}
	return ((2-m)*(b+(1-m)*d) - 2*(1-m)*(b+d)) / (3 * m * m)
}
