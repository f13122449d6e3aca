package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A log in which every state was read many times is worked out state by state,
// with the same residuals and derivatives as reading by reading.
func TestSharedStatesGiveTheSameRows(t *testing.T) {
	var steps []simulated.Step
	for range 6 {
		steps = append(steps, simulated.FullSession()...)
	}
	steps = append(steps, simulated.Added(10, 4.7)) // the same two parts in another order
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(61, 1)), 3e-4, 0.02, steps...)
	for i := 5; i < 60; i += 13 {
		log.Readings[i].Exact = 1e-12
	}
	p := must.Get(NewProblem(Session{Log: log})).In(t)
	if p.table == nil || len(p.table.states) != 13 {
		t.Fatalf("table %+v, want the twelve states of a session, and one with more on the top", p.table)
	}
	x := p.Start(log)
	n := len(steps)
	for range 2 {
		r, jac := make([]float64, n), make([]float64, n*p.N)
		p.Data.Evaluate(x, 0, r, jac)
		one := *p
		one.table = nil
		alone, slopes := make([]float64, n), make([]float64, n*p.N)
		one.readings(log, x, 0, alone, slopes)
		alike := func(a, b float64) bool { return math.Abs(a-b) <= 1e-9*(1+math.Abs(b)) } // parts add up in another order
		if !slices.EqualFunc(r, alone, alike) || !slices.EqualFunc(jac, slopes, alike) {
			t.Error("rows differ with and without the table")
		}
		x[forward.AtL] += 0.01
	}
	// Without the readings that the model errs in, the rows of the others are as before.
	for i := range 20 {
		log.Readings[3*i].State = readings.State{Core: "rod", To: 0.5, Hand: math.Inf(1)}
	}
	p = must.Get(NewProblem(Session{Log: log})).In(t)
	q := p.withoutModel()
	x = p.Start(log)
	all, left := make([]float64, n), make([]float64, n-20)
	p.Data.Evaluate(x, 0, all, make([]float64, n*p.N))
	q.Data.Evaluate(x, 0, left, make([]float64, (n-20)*p.N))
	for k, i := range q.Rows {
		near.To(t, "a row", left[k], all[i], 1e-6)
	}
	if p.table == nil || q.table == nil {
		t.Error("no table")
	}
	few, err := NewProblem(Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(61, 2)), 3e-4, 0.02, simulated.FullSession()...)})
	if err != nil || few.table != nil {
		t.Errorf("a table for a session of single readings: %v", err)
	}
}

// The cores of a result are those that have a gain, in the order of its parameters.
func TestCoresByName(t *testing.T) {
	of := func(name, core string) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: name, Core: core}}
	}
	r := &Result{Parameters: []quantities.Estimate{of(quantities.Inductance, ""), of(quantities.CoreGain, "stub"), of(quantities.CoreCapacitance, "stub"), of(quantities.CoreGain, "rod")}}
	if got := r.Cores(); !slices.Equal(got, []string{"stub", "rod"}) {
		t.Errorf("%q", got)
	}
}
