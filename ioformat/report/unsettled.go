package report

import (
	"fitcoil/fit"
	"fitcoil/model/estimation"
)

// Unsettled says that a fit found no answer, and what to do.
func Unsettled(e *estimation.NotConvergedError) string {
	why := "the search for it did not settle"
	switch e.Status {
	case fit.RoundingLimited:
		why = "its last digits do not settle"
	case fit.IterationLimit:
		why = "the search went on and on"
	case fit.Runaway:
		why = "a quantity ran off to where no reading depends on it"
	case fit.StartNotFinite:
		why = "a value is too large or too small to compute with"
	}
	return "the readings lead to no answer to vouch for: " + why +
		"; look with fitcoil check for a misread value, a wrong unit or a known value that can't be"
}
