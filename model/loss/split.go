package loss

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"fitcoil/fit"
)

// Row is a reading of 1/Q, or something else known of the parts, that is linear in them.
type Row struct {
	Inverse     float64   // 1/Q
	Uncertainty float64   // standard, of 1/Q
	Read        bool      // a reading: Uncertainty is in proportion to 1/Q, and a guess
	Weights     []float64 // by how much each part of the reference state counts in it
}

// guessed is how many degrees of freedom the guess of a reading's uncertainty is worth: it may
// be off by half of itself (Guide to the Expression of Uncertainty in Measurement, JCGM
// 100:2008, G.4.2: ν = ½ (Δu/u)⁻²).
const guessed = 2

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
// uncertainty is at most half of it; of parts that grow alike, none is. What the readings
// scatter corrects the guess of their uncertainty, as so many degrees of freedom as it has
// against those of the guess. Their weights are those of the 1/Q fitted, not read, since a
// reading that is too low would weigh too much.
func Split(rows []Row, parts int) []Part {
	out := make([]Part, parts)
	if len(rows) == 0 {
		return out
	}
	inverse := make([]float64, len(rows))
	for i, r := range rows {
		inverse[i] = r.Inverse
	}
	scale, degrees := 1.0, math.Inf(1)
	var s solution
	for range 6 {
		u := make([]float64, len(rows))
		for i, r := range rows {
			if u[i] = r.Uncertainty; r.Read {
				u[i] *= scale * inverse[i] / r.Inverse
			}
		}
		var ok bool
		if s, ok = solve(rows, u, parts); !ok {
			return out
		}
		squares, read := 0.0, 0
		for i, r := range rows {
			fitted := floats.Dot(r.Weights, s.x)
			rest := (r.Inverse - fitted) / u[i]
			if r.Read {
				rest *= scale
				read++
				inverse[i] = math.Max(fitted, r.Inverse/4)
			}
			squares += rest * rest
		}
		if read > 0 {
			degrees = guessed + math.Max(0, float64(len(rows)-s.rank))
			scale = math.Sqrt((guessed + squares) / degrees)
		}
	}
	factor := fit.CoverageFactor(0.95, degrees)
	for j := range parts {
		p := Part{Inverse: s.x[j], Uncertainty: math.Sqrt(s.variance[j]), Degrees: degrees}
		p.Interval = [2]float64{p.Inverse - factor*p.Uncertainty, p.Inverse + factor*p.Uncertainty}
		p.Determined = s.seen[j] > 1-1e-6 && p.Interval[0] > 0 && p.Uncertainty <= p.Inverse/2
		out[j] = p
	}
	return out
}

// solution is the parts that suit rows best.
type solution struct {
	x, variance []float64
	seen        []float64 // how much of each part lies along directions that the rows fix
	rank        int
}

// solve finds the parts by least squares, with the standard uncertainties u of the rows.
func solve(rows []Row, u []float64, parts int) (s solution, ok bool) {
	a, y := mat.NewDense(len(rows), parts, nil), mat.NewDense(len(rows), 1, nil)
	for i, r := range rows {
		for j, w := range r.Weights {
			a.Set(i, j, w/u[i])
		}
		y.Set(i, 0, r.Inverse/u[i])
	}
	var square mat.SymDense // AᵀA; its eigenvectors are the directions that the rows fix, or don't
	square.SymOuterK(1, a.T())
	var eigen mat.EigenSym
	if !eigen.Factorize(&square, true) {
		return s, false
	}
	values := eigen.Values(nil) // the largest last
	var v mat.Dense
	eigen.VectorsTo(&v)
	var right, along mat.Dense // Aᵀy, and along each direction
	right.Mul(a.T(), y)
	along.Mul(v.T(), &right)
	first := 0
	for first < parts && values[first] <= 1e-12*values[parts-1] {
		first++
	}
	s = solution{x: make([]float64, parts), variance: make([]float64, parts), seen: make([]float64, parts), rank: parts - first}
	for k := first; k < parts; k++ {
		for j := range parts {
			s.x[j] += along.At(k, 0) / values[k] * v.At(j, k)
			s.variance[j] += v.At(j, k) * v.At(j, k) / values[k]
			s.seen[j] += v.At(j, k) * v.At(j, k)
		}
	}
	return s, true
}
