package loss

import (
	"math"
	"math/cmplx"

	"fitcoil/model/field"
)

// copper is the resistivity of annealed copper at 20 °C [Ω·m] (International Electrotechnical
// Commission 60028: 1/58 Ω·mm²/m).
const copper = 1.724e-8

// SkinDepth returns √(ρ/(π μ0 f)) of copper [m].
func SkinDepth(hz float64) float64 { return math.Sqrt(copper / (math.Pi * field.Mu0 * hz)) }

// PerMetre returns the resistance of a straight round copper wire of the diameter given [m],
// for direct current and at the frequency hz [Ω/m]:
//
//	R = Re(k I0(kr)/(2πr σ I1(kr))),  k = (1 + j)/δ
//
// (Kelvin; W. R. Smythe, Static and Dynamic Electricity, 3rd ed., 10.04). The ratio of the
// Bessel functions is a continued fraction.
func PerMetre(diameter, hz float64) (direct, alternating float64) {
	r := diameter / 2
	direct = copper / (math.Pi * r * r)
	k := complex(1, 1) / complex(SkinDepth(hz), 0)
	z := k * complex(r, 0)
	ratio := complex(0, 0) // I1/I0 = 1/(2/z + 1/(4/z + 1/(6/z + …)))
	for n := 40 + int(2*cmplx.Abs(z)); n > 0; n-- {
		ratio = 1 / (complex(float64(2*n), 0)/z + ratio)
	}
	return direct, real(k/ratio) * copper / (2 * math.Pi * r)
}

// proximity is R. G. Medhurst's factor Φ on the resistance of a straight wire, for coils of
// one layer at high frequency, by length over diameter (rows) and wire over pitch (columns,
// 1.0 down to 0.1): Wireless Engineer 24 (1947) 80, from memory, ± 2 %. The last row is a
// coil without end.
var proximity = [...]struct {
	shape  float64
	factor [10]float64
}{
	{1, [10]float64{5.55, 4.10, 3.17, 2.47, 1.94, 1.67, 1.45, 1.24, 1.10, 1.03}},
	{2, [10]float64{4.10, 3.36, 2.74, 2.32, 1.98, 1.74, 1.50, 1.28, 1.13, 1.04}},
	{4, [10]float64{3.54, 3.05, 2.60, 2.27, 2.01, 1.78, 1.54, 1.32, 1.15, 1.04}},
	{6, [10]float64{3.31, 2.92, 2.60, 2.29, 2.03, 1.80, 1.56, 1.34, 1.16, 1.04}},
	{8, [10]float64{3.20, 2.90, 2.62, 2.34, 2.08, 1.81, 1.57, 1.34, 1.165, 1.04}},
	{10, [10]float64{3.23, 2.93, 2.65, 2.37, 2.10, 1.83, 1.58, 1.35, 1.17, 1.04}},
	{math.Inf(1), [10]float64{3.41, 3.11, 2.815, 2.51, 2.22, 1.93, 1.65, 1.395, 1.19, 1.05}},
}

// Proximity returns Medhurst's factor, straight between his points over diameter/length and
// wire/pitch; at the table's ends where a coil lies beyond.
func Proximity(shape, fill float64) float64 {
	at := func(row [10]float64) float64 {
		x := math.Min(math.Max(10*(1-fill), 0), 9)
		i := min(int(x), 8)
		return row[i] + (x-float64(i))*(row[i+1]-row[i])
	}
	k := 0
	for k < len(proximity)-2 && proximity[k+1].shape < shape {
		k++
	}
	a, b := proximity[k], proximity[k+1]
	t := (1/a.shape - 1/math.Max(shape, a.shape)) / (1/a.shape - 1/b.shape)
	return at(a.factor) + t*(at(b.factor)-at(a.factor))
}

// Winding returns the resistance of a coil's winding at the frequency hz, the current the
// same in all turns [Ω]: what a frequency adds to that of direct current is Φ times what
// it adds in a straight wire, an interpolation of this project between direct current
// and Medhurst's limit.
func Winding(c field.Coil, hz float64) float64 {
	direct, alternating := PerMetre(c.Wire, hz)
	phi := Proximity(c.Length/c.Diameter, c.Wire*c.Turns/c.Length)
	return (direct + phi*(alternating-direct)) * math.Pi * c.Diameter * c.Turns
}
