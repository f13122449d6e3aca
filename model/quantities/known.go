package quantities

import (
	"fmt"
	"slices"
)

// Known is the value of a quantity known from elsewhere: a meter, a drawing, an
// earlier session. It enters the fit as one more row.
type Known struct {
	Key
	Value       float64 // SI
	Uncertainty float64 // SI, standard
}

// UnknownQuantityError tells that a known value names a quantity that the log
// has nothing to do with.
type UnknownQuantityError struct {
	Known Known
	Could []Known // what could have been named; without values
}

func (e *UnknownQuantityError) Error() string {
	return fmt.Sprintf("known value for %s, which no reading depends on", e.Known.Name)
}

// RulesOut tells whether it is known that there is exactly none of a quantity of the bench.
func RulesOut(known []Known, name string) bool {
	return slices.ContainsFunc(known, func(k Known) bool { return k.Name == name && k.Value == 0 && k.Uncertainty == 0 })
}
