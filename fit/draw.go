package fit

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Distribution draws from a distribution of mean 0 and standard deviation 1. A nil
// Distribution is the normal one.
type Distribution func(rng *rand.Rand) float64

// Rectangular is the distribution of what is known to lie within limits and no more
// (JCGM 101:2008, 6.4.2), as what rounding took away.
func Rectangular(rng *rand.Rand) float64 { return math.Sqrt(3) * (2*rng.Float64() - 1) }

// Distributions are those of the errors of a problem's rows: nil, or as many as there are
// rows of a kind.
type Distributions struct {
	Data, Prior []Distribution
	// Doubtful are prior rows whose uncertainties have a common factor that is known with
	// DoubtDegrees degrees of freedom, as the Scale of the data has; nil for none.
	Doubtful     []bool
	DoubtDegrees float64
}

// check returns an error unless there are as many as rows of p.
func (d *Distributions) check(p Problem) error {
	for _, c := range []struct{ got, want int }{{len(d.Data), p.Data.N}, {len(d.Prior), p.Prior.N}, {len(d.Doubtful), p.Prior.N}} {
		if c.got != 0 && c.got != c.want {
			return fmt.Errorf("fit: %d distributions for %d rows", c.got, c.want)
		}
	}
	if d.Doubtful != nil && !(d.DoubtDegrees > 0) {
		return fmt.Errorf("fit: uncertainties known with %g degrees of freedom", d.DoubtDegrees)
	}
	return nil
}

// draw writes one draw for each row, times u.
func draw(rng *rand.Rand, from []Distribution, u float64, to []float64) {
	for i := range to {
		if len(from) > 0 && from[i] != nil {
			to[i] = u * from[i](rng)
		} else {
			to[i] = u * rng.NormFloat64()
		}
	}
}

// doubt draws the factor by which an uncertainty known with so many degrees of freedom is
// off, √(ν/χ²): with it normal errors have Student's distribution (JCGM 101:2008, 6.4.9).
func doubt(rng *rand.Rand, degrees float64) float64 {
	if degrees > 1e6 {
		return 1
	}
	return math.Sqrt(degrees / distuv.ChiSquared{K: degrees, Src: rng}.Rand())
}
