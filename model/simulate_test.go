package model

import (
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// idealBench declares that nothing is at the bench but what the log says: no lead, no
// drift, and errors of parts that have nothing in common.
func idealBench(s estimation.Session) estimation.Session {
	s.Known = slices.DeleteFunc(slices.Clone(s.Known), func(k quantities.Known) bool { return quantities.OfBench(k.Name) })
	s.Known = append(s.Known, quantities.Known{Key: quantities.Key{Name: quantities.LeadCapacitance}}, quantities.Known{Key: quantities.Key{Name: quantities.Drift}})
	s.Log.Parts = slices.Clone(s.Log.Parts)
	for i := range s.Log.Parts {
		s.Log.Parts[i].Common = 0
	}
	return s
}
