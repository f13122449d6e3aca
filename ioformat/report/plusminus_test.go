package report

import (
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
)

// A percentage of what may be near zero says nothing.
func TestPlusMinus(t *testing.T) {
	for _, c := range []struct {
		name        string
		value, u    float64
		unit, wants string
	}{
		{quantities.Inductance, 1.25e-3, 0.025e-3, "H", "± 2.0 %"},
		{quantities.Drift, -1.1e-6, 56e-6, "1", "± 56 ppm"},
		{quantities.Drift, 3e-4, 56e-6, "1/h", "± 56 ppm/h"},
		{quantities.LeadCapacitance, 0, 18e-15, "F", "± 0.018 pF"},
		{quantities.LeadCapacitance, 0, 0.55e-15, "F", "± 0.55 fF"},
		{quantities.CoreCapacitance, 0.08e-12, 0.052e-12, "F", "± 0.052 pF"},
	} {
		if got := PlusMinus(quantities.Estimate{Key: quantities.Key{Name: c.name}, Value: c.value, Uncertainty: c.u, Unit: c.unit, Determined: true}); got != c.wants {
			t.Errorf("%s %v ± %v: %q, want %q", c.name, c.value, c.u, got, c.wants)
		}
	}
}

// Where no step determines a quantity alone, it is said whether the plan does.
func TestNoHelp(t *testing.T) {
	step := func(determined bool) decisions.Suggestion {
		return decisions.Suggestion{After: quantities.Estimate{Determined: determined}}
	}
	for _, c := range []struct {
		plan decisions.Planned
		want string
	}{
		{decisions.Planned{Unmet: true}, "None of the 60 steps tried alone determines it: --how-many 2 tries two together, fitcoil fit names what is missing."},
		{decisions.Planned{Unmet: true, Greedy: []decisions.Suggestion{step(false), step(false)}}, "None of the 60 steps tried determines it: fitcoil fit names what is missing."},
		{decisions.Planned{Unmet: true, Greedy: []decisions.Suggestion{step(false), step(true)}}, "None of the 60 steps tried alone determines it; these together do."},
		{decisions.Planned{}, "None of the 60 steps tried alone lowers its uncertainty by a twentieth: --how-many 2 tries two together, --have 10pF,47pF±1% names other parts."},
	} {
		if got := noHelp(c.plan, 60); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
