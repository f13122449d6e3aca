package estimation

import (
	"runtime"
	"sync"

	"fitcoil/model/resonator"
)

// ManyRows is the number of readings from which on all processors share the work.
const ManyRows = 2000

// Shared tells whether the readings are worth sharing among processors: many that
// have few states in common, and a line, whose memory is small.
func (p *Problem) Shared() bool {
	_, line := p.Resonator.(*resonator.Line)
	return line && p.table == nil && p.Owned == 0 && len(p.Rows) >= ManyRows
}

// workers is how many goroutines evaluate the readings.
func (p *Problem) workers() int {
	if p.Shared() {
		return runtime.GOMAXPROCS(0)
	}
	return 1
}

// sharedReadings evaluates the readings at y, for several goroutines at a time: each
// takes a copy of the working memory.
func (p *Problem) sharedReadings() func(y []float64, first int, r, jac []float64) {
	type evaluate = func(y []float64, first int, r, jac []float64)
	free := sync.Pool{New: func() any {
		own, f := *p, *p.Model
		f.Resonator, f.Winding, f.Resonance = &resonator.Line{}, resonator.Winding{}, resonator.Resonance{}
		f.Plain, f.PlainMode = resonator.Line{}, resonator.Resonance{}
		own.Model = &f
		return evaluate(own.transformed(func(x []float64, first int, r, jac []float64) { own.readings(own.Log, x, first, r, jac) }))
	}}
	return func(y []float64, first int, r, jac []float64) {
		e := free.Get().(evaluate)
		e(y, first, r, jac)
		free.Put(e)
	}
}
