package wording

import (
	"math"
	"testing"

	"fitcoil/model/readings"
)

func TestState(t *testing.T) {
	far := math.Inf(1)
	parts := []readings.Part{{Name: "4.7 pF"}, {Name: "spike"}}
	for _, c := range []struct {
		state           readings.State
		want, condition string
	}{
		{readings.Bare(), "bare", "bare"},
		{readings.State{Parts: []int{0, 1}, Hand: far}, "4.7 pF + spike", "bare"},
		{readings.State{Exact: 3.3e-12, Hand: far}, "3.3 pF", "bare"},
		{readings.State{Core: "rod", To: 1, Hand: far}, "core rod", "core rod"},
		{readings.State{Parts: []int{0}, Core: "rod", To: 0.6, Hand: 0.1}, "4.7 pF, core rod 60 %, hand at 10 cm", "core rod 60 %, hand at 10 cm"},
		{readings.State{Core: "rod", From: 0.2, To: 0.6, Hand: far}, "core rod 20..60 %", "core rod 20..60 %"},
	} {
		if got := State(c.state, parts); got != c.want {
			t.Errorf("state is %q, want %q", got, c.want)
		}
		if got := Condition(c.state.Condition()); got != c.condition {
			t.Errorf("condition is %q, want %q", got, c.condition)
		}
	}
}
