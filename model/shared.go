package model

import (
	"runtime"
	"sync"
)

// manyRows is the number of readings from which on all processors share the work.
const manyRows = 2000

// shares tells whether the readings are worth sharing among processors: many that
// have few states in common, and a line, whose memory is small.
func (p *problem) shares() bool {
	_, line := p.resonator.(*Line)
	return line && p.table == nil && p.owned == 0 && len(p.rows) >= manyRows
}

// workers is how many goroutines evaluate the readings.
func (p *problem) workers() int {
	if p.shares() {
		return runtime.GOMAXPROCS(0)
	}
	return 1
}

// sharedReadings evaluates the readings at y, for several goroutines at a time: each
// takes a copy of the working memory.
func (p *problem) sharedReadings() func(y []float64, first int, r, jac []float64) {
	type evaluate = func(y []float64, first int, r, jac []float64)
	free := sync.Pool{New: func() any {
		own, f := *p, *p.forward
		f.resonator, f.winding, f.resonance = &Line{}, Winding{}, Resonance{}
		f.plain, f.plainMode = Line{}, Resonance{}
		own.forward = &f
		return evaluate(own.bend(func(x []float64, first int, r, jac []float64) { own.readings(own.log, x, first, r, jac) }))
	}}
	return func(y []float64, first int, r, jac []float64) {
		e := free.Get().(evaluate)
		e(y, first, r, jac)
		free.Put(e)
	}
}
