package fit_test

import (
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
