package estimation

import (
	"slices"
	"testing"

	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// Which values have a number: on either side of each limit of the rule at isDetermined.
func TestWhatHasANumber(t *testing.T) {
	plain := func(u, priors float64) bool {
		return isDetermined(&forward.Quantity{Positive: true}, 1, u, true, quantities.Budget{Assumed: priors})
	}
	for _, c := range []struct {
		what string
		got  bool
		want bool
	}{
		{"± 49 %", plain(0.49, 0), true},
		{"± 51 %", plain(0.51, 0), false},
		{"± 24 %, mostly from priors", plain(0.24, 0.95), true},
		{"± 26 %, mostly from priors", plain(0.26, 0.95), false},
		{"± 4.9 %, all from priors", plain(0.049, 0.995), true},
		{"± 5.1 %, all from priors", plain(0.051, 0.995), false},
		{"with a prior of its own, half from it", isDetermined(&forward.Quantity{HasPrior: true}, 1, 0.9, true, quantities.Budget{Assumed: 0.5}), true},
		{"with a prior of its own, more from it", isDetermined(&forward.Quantity{HasPrior: true}, 1, 0.11, true, quantities.Budget{Assumed: 0.6}), false},
		{"± 9 % with a prior of its own", isDetermined(&forward.Quantity{HasPrior: true}, 1, 0.09, true, quantities.Budget{Assumed: 0.6}), true},
		{"may be zero, half from priors", isDetermined(&forward.Quantity{}, 0.1, 1, true, quantities.Budget{Assumed: 0.5}), true},
		{"may be zero, ± 26 %, more from them", isDetermined(&forward.Quantity{}, 1, 0.26, true, quantities.Budget{Assumed: 0.6}), false},
		{"not told apart, ± 9 %", isDetermined(&forward.Quantity{Positive: true}, 1, 0.09, false, quantities.Budget{}), true},
		{"not told apart, ± 11 %", isDetermined(&forward.Quantity{Positive: true}, 1, 0.11, false, quantities.Budget{}), false},
		{"± 5.1 %, all from priors, a part of them on the bench", isDetermined(&forward.Quantity{Positive: true}, 1, 0.051, true, quantities.Budget{Assumed: 0.995, Bench: 0.1}), true},
		{"a gain of 1.5 ± 0.026, all from priors", isDetermined(&forward.Quantity{Positive: true, Neutral: 1}, 1.5, 0.026, true, quantities.Budget{Assumed: 0.995}), false},
		{"a gain of 1.5 ± 0.024, all from priors", isDetermined(&forward.Quantity{Positive: true, Neutral: 1}, 1.5, 0.024, true, quantities.Budget{Assumed: 0.995}), true},
		{"± 5.1 %, 98 % from priors", plain(0.051, 0.98), true},
		{"the top's, not told apart", isDetermined(&forward.Quantity{Key: quantities.Key{Name: quantities.TopCapacitance}, HasPrior: true}, 1, 0.01, false, quantities.Budget{}), false},
		{"the top's, told apart", isDetermined(&forward.Quantity{Key: quantities.Key{Name: quantities.TopCapacitance}, HasPrior: true}, 1, 0.01, true, quantities.Budget{}), true},
		{"may be zero, ± 24 %, more from them", isDetermined(&forward.Quantity{}, 1, 0.24, true, quantities.Budget{Assumed: 0.6}), true},
	} {
		if c.got != c.want {
			t.Errorf("%s: has a number %v", c.what, c.got)
		}
	}
}

// All estimates come in order, parameters first, each for itself, as far as one goes; the first of a key is found.
func TestAllEstimatesInOrder(t *testing.T) {
	of := func(name string) quantities.Estimate { return quantities.Estimate{Key: quantities.Key{Name: name}} }
	r := Result{Parameters: []quantities.Estimate{of("c"), of("a")}, Derived: []quantities.Estimate{of("d"), of("b")}}
	want := []*quantities.Estimate{&r.Parameters[0], &r.Parameters[1], &r.Derived[0], &r.Derived[1]}
	for stop := range 5 {
		var got []*quantities.Estimate
		for e := range r.All() {
			if len(got) == stop {
				break
			}
			got = append(got, e)
		}
		if !slices.Equal(got, want[:stop]) {
			t.Errorf("the first %d: %v", stop, got)
		}
	}
	for _, e := range want {
		if got := r.Find(e.Key); got != e {
			t.Errorf("%s: found %v", e.Name, got)
		}
	}
	if got := r.Find(quantities.Key{Name: "a", Core: "rod"}); got != nil {
		t.Errorf("of a core that there isn't: %v", got)
	}
}
