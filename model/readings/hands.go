package readings

import (
	"iter"
	"math"
	"slices"
)

// mostHands is the number of distances of a hand that are told of.
const mostHands = 12

// Hands lists the distances [m] at which log has a hand, the smallest first: some
// of them where it has a great many, the smallest and the largest among these.
func Hands(log Log) []float64 {
	return Thinned(Distances(func(yield func(*State) bool) {
		for i := range log.Readings {
			if !yield(&log.Readings[i].State) {
				return
			}
		}
	}))
}

// Distances lists those of the hands in states, in order.
func Distances(states iter.Seq[*State]) []float64 {
	seen := map[float64]struct{}{}
	var list []float64
	for s := range states {
		if _, known := seen[s.Hand]; known || math.IsInf(s.Hand, 1) {
			continue
		}
		seen[s.Hand] = struct{}{}
		list = append(list, s.Hand)
	}
	slices.Sort(list)
	return list
}

// Thinned takes mostHands of a longer list, evenly by their place in it.
func Thinned(list []float64) []float64 {
	if len(list) <= mostHands {
		return list
	}
	few := make([]float64, mostHands)
	for i := range few {
		few[i] = list[i*(len(list)-1)/(mostHands-1)]
	}
	return few
}
