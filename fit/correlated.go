package fit

import "math"

// Whiten returns the lower triangle W, n × n, row after row, with WᵀW = V⁻¹ for a covariance
// V of n values: the elements of W(x − mean) are standardised and not correlated, as rows of a
// problem have to be. ok is false unless V is positive definite, but for rounding, of n·n elements.
func Whiten(v []float64, n int) (w []float64, ok bool) {
	const least = 1e-12 // of a variance, that the others leave
	if n < 0 || len(v) != n*n {
		return nil, false
	}
	l := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			sum := v[i*n+j] - dot(l[i*n:][:j], l[j*n:][:j])
			switch {
			case i > j:
				l[i*n+j] = sum / l[j*n+j]
			case !(sum > least*v[i*n+i]):
				return nil, false
			default:
				l[i*n+i] = math.Sqrt(sum)
			}
		}
	}
	w = make([]float64, n*n)
	for j := range n { // L·W = 1, column by column
		w[j*n+j] = 1 / l[j*n+j]
		for i := j + 1; i < n; i++ {
			sum := 0.0
			for k := j; k < i; k++ {
				sum += l[i*n+k] * w[k*n+j]
			}
			w[i*n+j] = -sum / l[i*n+i]
		}
	}
	return w, true
}
