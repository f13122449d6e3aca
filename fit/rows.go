package fit

// walkRows is the number of rows that a walk evaluates at a time.
const walkRows = 256

// rows evaluates a block of equations at x, piece by piece, and calls visit
// with each row's index, residual and derivatives until it returns false.
func rows(e Rows, x []float64, p int, visit func(i int, r float64, jac []float64) bool) {
	n := min(walkRows, e.N)
	r, jac := make([]float64, n), make([]float64, n*p)
	for first := 0; first < e.N; first += n {
		m := min(n, e.N-first)
		e.Evaluate(x, first, r[:m], jac[:m*p])
		for i := range m {
			if !visit(first+i, r[i], jac[i*p:][:p]) {
				return
			}
		}
	}
}
