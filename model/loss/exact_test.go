package loss

import (
	"math"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/field"
)

// Medhurst's whole table, from memory a second time; half-way between its columns, and between
// its rows in diameter over length; a coil that is shorter counts as the shortest.
func TestProximityOfMedhurst(t *testing.T) {
	shapes := []float64{1, 2, 4, 6, 8, 10, 1e12}
	table := [][]float64{
		{5.55, 4.10, 3.54, 3.31, 3.20, 3.23, 3.41},
		{4.10, 3.36, 3.05, 2.92, 2.90, 2.93, 3.11},
		{3.17, 2.74, 2.60, 2.60, 2.62, 2.65, 2.815},
		{2.47, 2.32, 2.27, 2.29, 2.34, 2.37, 2.51},
		{1.94, 1.98, 2.01, 2.03, 2.08, 2.10, 2.22},
		{1.67, 1.74, 1.78, 1.80, 1.81, 1.83, 1.93},
		{1.45, 1.50, 1.54, 1.56, 1.57, 1.58, 1.65},
		{1.24, 1.28, 1.32, 1.34, 1.34, 1.35, 1.395},
		{1.10, 1.13, 1.15, 1.16, 1.165, 1.17, 1.19},
		{1.03, 1.04, 1.04, 1.04, 1.04, 1.04, 1.05},
	}
	for k, row := range table {
		for i, want := range row {
			near.Times(t, "table", Proximity(shapes[i], 1-float64(k)/10), want, 1e-9)
			if k > 0 {
				near.Times(t, "between columns", Proximity(shapes[i], 1.05-float64(k)/10), (want+table[k-1][i])/2, 1e-9)
			}
			if i > 0 {
				near.Times(t, "between rows", Proximity(2/(1/shapes[i]+1/shapes[i-1]), 1-float64(k)/10), (want+row[i-1])/2, 1e-9)
			}
		}
	}
	near.Times(t, "short", Proximity(0.3, 0.5), 1.67, 1e-9)
	near.Times(t, "thinner", Proximity(2, 0.01), 1.04, 1e-9)
	near.Times(t, "thicker", Proximity(2, 1.2), 4.10, 1e-9)
	// Winding: D 0.1 m, l 0.2 m, 100 turns of 1 mm: π·0.1·100 m, wire/pitch ½, l/D 2.
	direct, alternating := PerMetre(1e-3, 1e6)
	near.Times(t, "winding", Winding(field.Coil{Turns: 100, Diameter: 0.1, Length: 0.2, Wire: 1e-3}, 1e6), 10*math.Pi*(direct+1.74*(alternating-direct)), 1e-9)
	// Kelvin's series for a wire of r = δ·√2/2·x, x² = 1: R/R0 = 1 + x⁴/192 − … with x = r√(ωμσ) = √2 r/δ.
	delta := SkinDepth(1e5)
	direct, alternating = PerMetre(2*delta/math.Sqrt2, 1e5)
	near.Times(t, "Kelvin", alternating/direct, 1+1./192-1./46080, 1e-6)
}

// The permeability that a range tells: both ends straight between the points of each grade, and
// the points between them, all by hand for μi 1000.
func TestRangeByHand(t *testing.T) {
	for _, c := range []struct{ low, high, least, most float64 }{
		{0.66e6, 2.58e6, 1 + 0.018*0.66/0.8, 1.449},
		{0.66e6, 0.66e6, 1 + 0.018*0.66/0.8, 1.007 + 0.064*229/650},
		{0.3e6, 0.5e6, 1 + 0.007*84/215, 1.007 + 0.064*69/650},
		{2.12e6, 2.14e6, 1.338 + 0.098*10/470, 1.409 + 0.04*10/400},
		{1.2e6, 1.2e6, 1.044 + 0.058*0.26/0.39, 1.018 + 0.101*0.4/0.54}, // past the end of N87's sheet
		{6e6, 7e6, 0.046, 0.133},
	} {
		least, most := Range(1000, c.low, c.high)
		near.Times(t, "least", least, c.least, 1e-9)
		near.Times(t, "most", most, c.most, 1e-9)
	}
}

// Of readings of one part by one weight, each uncertain by 5 % of itself: the part is their mean m,
// uncertain by 0.05 S m/√n, S² = (2 + Σ((y/m − 1)/0.05)²)/(2 + n − 1), with n + 1 degrees of
// freedom (by hand); t of 95 % with four is 2.776445 (tables).
func TestSplitOfOnePart(t *testing.T) {
	y := []float64{0.009, 0.010, 0.012}
	var rows []Row
	m, squares := 0.031/3/2, 0.0
	for _, v := range y {
		rows = append(rows, Row{v, 0.05 * v, true, []float64{2}})
		squares += math.Pow((v/2/m-1)/0.05, 2)
	}
	scale := math.Sqrt((2 + squares) / 4)
	p := Split(rows, 1)[0]
	near.Times(t, "part", p.Inverse, m, 1e-6)
	near.Times(t, "u", p.Uncertainty, 0.05*scale*m/math.Sqrt(3), 1e-6)
	near.Times(t, "degrees", p.Degrees, 4, 1e-12)
	near.Times(t, "low", p.Interval[0], m-2.776445*p.Uncertainty, 1e-6)
	near.Times(t, "high", p.Interval[1], m+2.776445*p.Uncertainty, 1e-6)
	if !p.Determined {
		t.Error("undetermined")
	}
	if got := Split(nil, 2); got[0] != (Part{}) || len(got) != 2 {
		t.Errorf("of nothing: %+v", got)
	}
}

// What is known and not read keeps its uncertainty: two parts, one known by itself, the other
// from a row with both (by hand), k = 1.959964. A third that only comes with the first in the
// same proportion can't be told from it.
func TestSplitOfKnownParts(t *testing.T) {
	rows := []Row{{0.01, 0.001, false, []float64{1, 0}}, {0.05, 0.002, false, []float64{2, 3}}}
	parts := Split(rows, 2)
	near.Times(t, "first", parts[0].Inverse, 0.01, 1e-9)
	near.Times(t, "second", parts[1].Inverse, 0.01, 1e-9)
	near.Times(t, "u of first", parts[0].Uncertainty, 0.001, 1e-9)
	near.Times(t, "u of second", parts[1].Uncertainty, math.Hypot(0.002, 0.002)/3, 1e-9)
	near.Times(t, "low", parts[1].Interval[0], 0.01-1.9599640*math.Hypot(0.002, 0.002)/3, 1e-6)
	if !math.IsInf(parts[0].Degrees, 1) || !parts[0].Determined || !parts[1].Determined {
		t.Errorf("%+v", parts)
	}
	// A part is determined up to half of itself, and where its interval leaves zero out.
	for u, want := range map[float64]bool{0.0049: true, 0.0052: false} {
		if p := Split([]Row{{0.01, u, false, []float64{1}}}, 1)[0]; p.Determined != want {
			t.Errorf("± %v of 0.01: determined %v", u, p.Determined)
		}
	}
	mixed := Split([]Row{{0.01, 1e-4, false, []float64{1, 1, 0}}, {0.02, 1e-4, false, []float64{2, 2, 0}}, {0.03, 1e-4, false, []float64{0, 0, 1}}}, 3)
	if mixed[0].Determined || mixed[1].Determined || !mixed[2].Determined {
		t.Errorf("%+v", mixed)
	}
	// Four readings, two of three parts told apart: two degrees, and the two that the scatter is guessed with.
	mixed = Split([]Row{{0.01, 1e-4, true, []float64{1, 1, 0}}, {0.02, 1e-4, true, []float64{2, 2, 0}}, {0.03, 1e-4, true, []float64{0, 0, 1}}, {0.03, 1e-4, true, []float64{0, 0, 1}}}, 3)
	near.Times(t, "degrees", mixed[2].Degrees, 4, 1e-12)
}

// A part is determined where its 95 % interval leaves zero out and it is known by half of itself.
func TestWhenAPartIsDetermined(t *testing.T) {
	for u, want := range map[float64]bool{0.495: true, 0.505: false} { // 1.96 of them are less than one
		p := Split([]Row{{Inverse: 1, Uncertainty: u, Weights: []float64{1}}}, 1)[0]
		if p.Determined != want || !(math.Abs(p.Uncertainty-u) <= 1e-9) || !(p.Interval[0] > 0) {
			t.Errorf("± %v: %+v", u, p)
		}
	}
	// Of one reading, whose uncertainty is guessed with two degrees, t is 4.302653 (tables).
	for u, want := range map[float64]bool{0.23: true, 0.24: false, 0.45: false} {
		p := Split([]Row{{Inverse: 1, Uncertainty: u, Read: true, Weights: []float64{1}}}, 1)[0]
		if p.Determined != want || !(math.Abs(p.Uncertainty-u) <= 1e-9) {
			t.Errorf("read, ± %v: %+v", u, p)
		}
		near.To(t, "low", p.Interval[0], 1-4.302653*u, 1e-6)
	}
}

// One reading beside what is known: the part is the mean by weights, of which the reading's uncertainty is in
// proportion to what is fitted, and enlarged by S, S² = (2 + Σ of the squares)/3, with three degrees.
func TestSplitOfOneReadingBesideTheKnown(t *testing.T) {
	const y, u, known, sure = 0.010, 0.001, 0.0116, 0.0008
	p := Split([]Row{{known, sure, false, []float64{1}}, {y, u, true, []float64{1}}}, 1)[0]
	x, scale := known, 1.0
	for range 100 { // to where it stays
		ur := scale * u * x / y
		squares := math.Pow((known-x)/sure, 2) + math.Pow((y-x)/ur*scale, 2)
		x = (known/sure/sure + y/ur/ur) / (1/sure/sure + 1/ur/ur)
		scale = math.Sqrt((2 + squares) / 3)
	}
	ur := scale * u * x / y
	near.Times(t, "part", p.Inverse, x, 1e-3)
	near.Times(t, "u", p.Uncertainty, 1/math.Sqrt(1/sure/sure+1/ur/ur), 3e-3)
	near.Times(t, "degrees", p.Degrees, 3, 1e-12)
	if !(math.Abs(scale-1) >= 0.02) {
		t.Errorf("S = %v: the test needs a scatter", scale)
	}
}
