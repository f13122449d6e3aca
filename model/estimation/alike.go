package estimation

import (
	"math"
	"slices"

	"fitcoil/model/readings"
)

// Readings that err alike count for fewer than they are: n readings that share one error
// count with √n times their uncertainty each, so that their mean has that of one, and all
// of them bring one degree of freedom.

// digitsKey is what readings have in common that may share a rounding error.
type digitsKey struct {
	readings.StateKey
	exact, uncertainty float64
}

// digitsGroup gathers the readings of one state as they came.
type digitsGroup struct {
	first   *readings.State
	rows    []int
	last    float64
	squares float64 // of the differences between neighbours [Hz²]
}

// ownScatter is the standard deviation of readings, over their last digit, above which
// their rounding errors are independent: the correlation of these is below
// 2 exp(−4π²σ²)·6/π², 3 %, at σ = 0.3 of the digit (B. Widrow, Trans. AIEE 79, 1960,
// 555–568, from memory).
const ownScatter = 0.3

// roundings returns by what the uncertainty of each data row counts larger because its
// rounding error is that of other readings of the same state, and nil where none is. The
// scatter is that of neighbours in time, which a drift hardly touches; rounding is in it
// with a twelfth of the digit's square (W. F. Sheppard, Proc. London Math. Soc. 29, 1897,
// 353–380). Where it leaves less than ownScatter, the error is shared (JCGM 100:2008,
// F.2.2.1).
func (p *Problem) roundings() []float64 {
	groups := map[digitsKey][]*digitsGroup{}
	for k, i := range p.Rows {
		r := &p.Log.Readings[i]
		if !r.FromDigits || r.Repeats != nil {
			continue
		}
		key := digitsKey{r.Key(), r.Exact, r.Uncertainty}
		var g *digitsGroup
		for _, o := range groups[key] {
			if readings.Same(o.first, &r.State) {
				g = o
			}
		}
		if g == nil {
			g = &digitsGroup{first: &r.State, last: r.Frequency}
			groups[key] = append(groups[key], g)
		}
		g.rows = append(g.rows, k)
		g.squares += (r.Frequency - g.last) * (r.Frequency - g.last)
		g.last = r.Frequency
	}
	var factors []float64
	for key, list := range groups {
		digit := key.uncertainty * math.Sqrt(12)
		for _, g := range list {
			n := float64(len(g.rows))
			if n < 2 || g.squares/(2*(n-1)) > (1.0/12+ownScatter*ownScatter)*digit*digit {
				continue
			}
			if factors == nil {
				factors = slices.Repeat([]float64{1}, len(p.Rows))
			}
			for _, k := range g.rows {
				factors[k] = math.Sqrt(n)
			}
		}
	}
	return factors
}

// countAlike sets of how many rows the errors are those of others.
func (p *Problem) countAlike() {
	p.Alike = 0
	for _, f := range p.factors {
		p.Alike += 1 - 1/(f*f)
	}
}
