package fit_test

import (
	"strings"
	"testing"

	"fitcoil/fit"
)

// Every status and bound has words of its own.
func TestWordsTellApart(t *testing.T) {
	seen := map[string]bool{}
	tell := func(kind, text string) {
		if text == "" || seen[kind+text] {
			t.Errorf("%s: %q says nothing of its own", kind, text)
		}
		seen[kind+text] = true
	}
	for s := fit.Unsolved; s <= fit.StartNotFinite; s++ {
		tell("status", s.String())
	}
	tell("status", (fit.StartNotFinite + 1).String())
	for _, b := range []fit.Bound{fit.Free, fit.AtLower, fit.AtUpper} {
		tell("bound", b.String())
	}
}

// A result that no solver wrote says so: it is not solved, converged nowhere and stands at no bound.
func TestNothingSolved(t *testing.T) {
	var r fit.Result
	if r.Status != fit.Unsolved || r.Status.String() != "not solved" || r.Status.Converged() {
		t.Errorf("status %v, converged %v", r.Status, r.Status.Converged())
	}
	var b fit.Bound
	if b != fit.Free || b.String() != "free" {
		t.Errorf("bound %v", b)
	}
	for s, part := range map[fit.Status]string{
		fit.Converged: "converged", fit.RoundingLimited: "rounding", fit.IterationLimit: "iteration limit", fit.Stalled: "stalled", fit.Runaway: "runaway", fit.StartNotFinite: "no start",
		-1: "unknown", fit.StartNotFinite + 1: "unknown",
	} {
		if !strings.HasPrefix(strings.TrimPrefix(s.String(), "limited by "), part) || s.Converged() != (s == fit.Converged) {
			t.Errorf("status %d: %q, converged %v", s, s, s.Converged())
		}
	}
	if fit.AtLower.String() != "at its lower bound" || fit.AtUpper.String() != "at its upper bound" {
		t.Errorf("%v, %v", fit.AtLower, fit.AtUpper)
	}
}
