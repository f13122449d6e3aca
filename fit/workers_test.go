package fit

import (
	"bytes"
	"errors"
	"strings"
	"testing"
)

var errBroken = errors.New("the model broke")

// breaks panics in a row far from the first.
func breaks(x []float64, first int, r, jac []float64) {
	for i := range r {
		if first+i == 700 {
			panic(errBroken)
		}
		r[i] = x[0] - float64(i)
	}
	for i := range jac {
		jac[i] = 1
	}
}

// A panic on a worker reaches the caller, who can recover it, with its value, its
// place and the worker's stack.
func TestPanicOnWorkerReachesCaller(t *testing.T) {
	for name, call := range map[string]func(){
		"rows": func() {
			p := Problem{Params: 1, Data: Rows{N: 1000, Evaluate: breaks}}
			_, err := Solve(p, []float64{0}, Settings{BlockRows: 10, Workers: 3})
			t.Errorf("solved: %v", err)
		},
		"trials": func() {
			p := Problem{Params: 1, Prior: Gaussians(1, []Gaussian{{Sigma: 1}})}
			r, err := Solve(p, []float64{0}, Settings{})
			if err != nil {
				t.Fatal(err)
			}
			MonteCarlo(func() (Problem, Quantities) {
				return p, func(x, _ []float64) { breaks(x, 700, make([]float64, 1), nil) }
			}, 1, r, Distributions{}, Settings{}, Trials{Most: 1000, Workers: 3})
			t.Error("all trials ran")
		},
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				p, ok := recover().(*WorkerPanic)
				if !ok {
					t.Fatalf("recovered %v", p)
				}
				if !errors.Is(p, errBroken) || !strings.Contains(p.Error(), "the model broke, at workers_test.go:") {
					t.Errorf("panic %v", p)
				}
				if !bytes.Contains(p.Stack, []byte("breaks")) {
					t.Errorf("stack without the function that panicked:\n%s", p.Stack)
				}
			}()
			call()
		})
	}
}
