package model

import (
	"math/rand/v2"
	"testing"

	"fitcoil/internal/repeat"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
)

// unread simulates sessions with six coils, and adds up what is predicted of a state that
// was not read.
func unread(t *testing.T, coils []*fieldCoil, n int, steps []simulated.Step, asked simulated.Step, drawn bool) *tally {
	t.Helper()
	o := &tally{}
	for k, c := range coils {
		for seed := range n {
			p := c.play(rand.New(rand.NewPCG(uint64(155+k), uint64(seed))), goodBench(), steps)
			s := estimation.Session{Log: p.log}
			if drawn { // the winding, and nothing of a core
				s.Ladder = c.ladder
			}
			state := p.stateOf(asked)
			e := estimated(t, s).Frequency(state, nil)
			o.add(&e, p.frequency(&state))
		}
	}
	return o
}

func (o *tally) holds(t *testing.T, what string) {
	t.Helper()
	t.Logf("%s: off by %.3f %%, ± %.3f %%, rms z %.2f, coverage %.3f", what, 100*median(o.errors), 100*median(o.us), o.z(), o.coverage())
	if o.absent > 0 || o.z() > 1.45 || o.coverage() < 0.88 { // 1.3 and 0.93, with room for few sessions
		t.Errorf("%s: rms z %.2f, coverage %.3f, %d absent", what, o.z(), o.coverage(), o.absent)
	}
}

// A hand at a distance that wasn't read: nearer, between, farther; with one distance
// read and with several.
func TestHandAtOtherDistance(t *testing.T) {
	coils := fieldCoils(t)
	for _, c := range []struct {
		name string
		read []float64
		at   float64
	}{
		{"one read, nearer", []float64{0.1}, 0.05},
		{"one read, farther", []float64{0.1}, 0.4},
		{"two read, nearer", []float64{0.2, 0.3}, 0.05},
		{"two read, farther", []float64{0.1, 0.2}, 0.4},
		{"three read, nearer", []float64{0.1, 0.2, 0.4}, 0.05},
		{"three read, between", []float64{0.1, 0.2, 0.4}, 0.15},
	} {
		steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(2.2), simulated.Added()}
		for _, d := range c.read {
			steps = append(steps, simulated.Added().Near(d))
		}
		unread(t, coils, repeat.Times(4), steps, simulated.Added().Near(c.at), false).holds(t, c.name)
	}
}

// A winding drawn without a core, which then covers it partly.
func TestUndescribedCore(t *testing.T) {
	coils := fieldCoils(t)
	for _, to := range []float64{0.25, 0.5, 0.75} {
		unread(t, coils, repeat.Times(3), benchSteps()[:14], simulated.Added().Rod(to), true).holds(t, "covered")
	}
}
