package loss

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"fitcoil/fit"
)

// Row is a reading of 1/Q, or something else known of the parts, that is linear in them.
type Row struct {
	Inverse     float64   // 1/Q
	Uncertainty float64   // standard, of 1/Q
	Weights     []float64 // by how much each part of the reference state counts in it
}

// Part is a share of 1/Q in the reference state.
type Part struct {
	Inverse     float64 // 1/Q of this part alone
	Uncertainty float64 // standard
	Degrees     float64 // of freedom of Uncertainty; +Inf where it is as stated
	Interval    [2]float64
	Determined  bool
}

// Split divides 1/Q among parts by weighted least squares: those that grow differently
// over the readings. A part is determined where its 95 % interval leaves zero out and its
// uncertainty is at most half of it; of parts that grow alike, none is. Where the readings
// scatter more than stated, uncertainties are enlarged to match (the Birge ratio).
func Split(rows []Row, parts int) []Part {
	out := make([]Part, parts)
	if len(rows) == 0 {
		return out
	}
	a, y := mat.NewDense(len(rows), parts, nil), mat.NewVecDense(len(rows), nil)
	for i, r := range rows {
		for j, w := range r.Weights {
			a.Set(i, j, w/r.Uncertainty)
		}
		y.SetVec(i, r.Inverse/r.Uncertainty)
	}
	var square mat.SymDense // AᵀA; its eigenvectors are the directions that the rows fix, or don't
	square.SymOuterK(1, a.T())
	var eigen mat.EigenSym
	if !eigen.Factorize(&square, true) {
		return out
	}
	values := eigen.Values(nil) // the largest last
	var v mat.Dense
	eigen.VectorsTo(&v)
	var right mat.VecDense // Aᵀy
	right.MulVec(a.T(), y)
	first := 0
	for first < parts && values[first] <= 1e-12*values[parts-1] {
		first++
	}
	rank := parts - first
	x, variance := make([]float64, parts), make([]float64, parts)
	for k := first; k < parts; k++ {
		along := mat.Dot(v.ColView(k), &right) / values[k]
		for j := range parts {
			x[j] += along * v.At(j, k)
			variance[j] += v.At(j, k) * v.At(j, k) / values[k]
		}
	}
	var rest mat.VecDense
	rest.MulVec(a, mat.NewVecDense(parts, x))
	rest.SubVec(y, &rest)
	scale, degrees := 1.0, math.Inf(1)
	if free := float64(len(rows) - rank); free > 0 {
		if s := math.Sqrt(mat.Dot(&rest, &rest) / free); s > 1 {
			scale, degrees = s, free
		}
	}
	factor := fit.CoverageFactor(0.95, degrees)
	for j := range parts {
		seen := 0.0 // how much of part j lies along directions that the rows fix
		for k := first; k < parts; k++ {
			seen += v.At(j, k) * v.At(j, k)
		}
		p := Part{Inverse: x[j], Uncertainty: scale * math.Sqrt(variance[j]), Degrees: degrees}
		p.Interval = [2]float64{p.Inverse - factor*p.Uncertainty, p.Inverse + factor*p.Uncertainty}
		p.Determined = seen > 1-1e-6 && p.Interval[0] > 0 && p.Uncertainty <= p.Inverse/2
		out[j] = p
	}
	return out
}
