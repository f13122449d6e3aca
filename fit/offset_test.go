package fit

import (
	"math"
	"testing"

	"fitcoil/internal/must"
)

// A step function of the residual's digits: the fit stops short of its eight
// digits, but within the offset allowed.
func TestOffsetForgivesWhatReadingsCantTell(t *testing.T) {
	rough := Problem{Params: 1, Data: Rows{N: 3, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			k := float64(first + i + 1)
			y := []float64{1.1, 1.9, 3.2}[first+i]
			model := k * math.Exp(x[0])
			r[i] = math.Round((y-model)*1e6) / 1e6
			if jac != nil {
				jac[i] = -model
			}
		}
	}}}
	strict := must.Get(Solve(rough, []float64{0.3}, Settings{})).In(t)
	if strict.Status.Converged() {
		t.Fatalf("residuals of six digits converged to eight: %v", strict.Status)
	}
	for _, c := range []struct {
		offset float64
		want   bool
	}{{1e-3, true}, {1e-9, false}} {
		r := must.Get(Solve(rough, []float64{0.3}, Settings{Offset: c.offset})).In(t)
		if r.Status.Converged() != c.want {
			t.Errorf("offset %v: %v", c.offset, r.Status)
		}
		// Linear in e^x: Σky/Σk² = (1.1 + 3.8 + 9.6)/14.
		if want := math.Log(14.5 / 14); c.want && !(math.Abs(r.X[0]-want) <= 1e-3/math.Sqrt(14)) {
			t.Errorf("offset %v: x = %v, want %v", c.offset, r.X[0], want)
		}
	}
}

// A fit whose steps are used up near its end counts as converged, and one far from it
// doesn't.
func TestOffsetForgivesAFitNearItsEnd(t *testing.T) {
	smooth := Problem{Params: 1, Data: Rows{N: 3, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			model := float64(first+i+1) * math.Exp(x[0])
			r[i] = []float64{1.1, 1.9, 3.2}[first+i] - model
			if jac != nil {
				jac[i] = -model
			}
		}
	}}}
	forgiven, refused := 0, 0
	for steps := 1; ; steps++ {
		strict := must.Get(Solve(smooth, []float64{2}, Settings{MaxIterations: steps})).In(t)
		if strict.Status != IterationLimit {
			break
		}
		r := must.Get(Solve(smooth, []float64{2}, Settings{MaxIterations: steps, Offset: 1e-3})).In(t)
		// The fitted values change by √14·eˣ with x, and eˣ = 14.5/14 at the end.
		near := math.Abs(r.X[0]-math.Log(14.5/14))*math.Sqrt(14)*14.5/14 < 1e-3
		if r.Status.Converged() != near {
			t.Errorf("after %d steps at %v: %v", steps, r.X, r.Status)
		}
		if near {
			forgiven++
		} else {
			refused++
		}
	}
	if forgiven == 0 || refused == 0 {
		t.Errorf("%d forgiven, %d refused: no test", forgiven, refused)
	}
}
