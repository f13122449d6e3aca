package forward

import (
	"math"
	"slices"

	"fitcoil/model/resonator"
)

// Bounds keeps the unknowns where a coil can be. Only the share can meet its
// bounds in earnest; the others keep a runaway fit within floating point.
func (f *Model) Bounds() (lower, upper []float64) {
	lower, upper = slices.Repeat([]float64{-30}, f.N), slices.Repeat([]float64{30}, f.N) // of errors in their uncertainties
	set := func(i int, lo, hi float64) { lower[i], upper[i] = lo, hi }
	set(AtL, math.Log(1e-16), math.Log(1e10)) // what a log in a wrong unit implies is in between
	set(AtC, math.Log(1e-16), math.Log(1e-3))
	if f.Share >= 0 {
		set(f.Share, 0, 1)
	}
	for _, c := range f.Cores {
		set(c.At, math.Log(1e-2), math.Log(1e5))
		set(c.At+1, math.Log(1e-2), math.Log(1e2))
		if c.Ends >= 0 {
			set(c.Ends, resonator.EndsLeast, resonator.EndsMost)
			set(c.Ends+1, -6, resonator.MovedMost)
		}
	}
	if f.Hand >= 0 {
		set(f.Hand, math.Log(1e-19), math.Log(1e-6))
		set(f.Hand+1, math.Log(1e-4), math.Log(10))
		set(f.Hand+2, 0.1, 6)
	}
	if f.Lead >= 0 {
		set(f.Lead, -1e4, 1e4)
	}
	for _, k := range f.Strays {
		set(k, -1e3, 1e3)
	}
	if f.Drift >= 0 {
		set(f.Drift, -1e3, 1e3)
	}
	for _, c := range f.Couplings {
		set(c.At, 1e-9, 3)
		for _, t := range c.Tuned {
			set(t.At, math.Log(1), math.Log(1e12))
		}
	}
	for i, k := range f.PartAt {
		if k >= 0 && !f.Parts[i].Known {
			set(k, math.Log(1e-18), math.Log(1e-3))
		}
	}
	return lower, upper
}
