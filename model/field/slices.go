package field

import "gonum.org/v1/gonum/mat"

// SliceInductance returns the inductance matrix [H] of a current sheet cut
// into n equal slices: the halved second differences of the self-inductance of
// a sheet as long as two slices and what lies between (Grover, Inductance
// Calculations, 1946, ch. 15: mutual inductance of coaxial solenoids of equal
// radii). Its elements add up to SheetInductance.
func SliceInductance(turns, diameter, length float64, n int) *mat.SymDense {
	row := sliceRow(diameter, length/float64(n), n)
	scale := turns * turns / (length * length)
	m := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			m.SetSym(i, j, scale*row[j-i])
		}
	}
	return m
}

// sliceRow returns the inductances [H m²] between two slices of height h of a
// sheet with one turn per metre, k slices apart, for k = 0 … n−1.
func sliceRow(diameter, h float64, n int) []float64 {
	f := make([]float64, n+1)
	for k := range f {
		f[k] = sheetSelf(diameter, float64(k)*h)
	}
	row := make([]float64, n)
	row[0] = f[1]
	for k := 1; k < n; k++ {
		row[k] = (f[k+1] - 2*f[k] + f[k-1]) / 2
	}
	return row
}
