package report

import (
	"cmp"
	"fitcoil/fit"
	"fitcoil/model/estimation"
)

// Unsettled says that a fit found no answer, and what to do.
func Unsettled(e *estimation.NotConvergedError) string {
	why := map[fit.Status]string{
		fit.RoundingLimited: "its last digits do not settle",
		fit.IterationLimit:  "the search went on and on",
		fit.Runaway:         "a quantity ran off to where no reading depends on it",
		fit.StartNotFinite:  "a value is too large or too small to compute with",
	}[e.Status]
	return "the readings lead to no answer to vouch for: " + cmp.Or(why, "the search for it did not settle") +
		"; look with fitcoil check for a misread value, a wrong unit or a known value that can't be"
}
