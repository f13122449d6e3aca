package model

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
	return thinned(distances(func(yield func(*State) bool) {
		for i := range log.Readings {
			if !yield(&log.Readings[i].State) {
				return
			}
		}
	}))
}

// distances lists those of the hands in states, in order.
func distances(states iter.Seq[*State]) []float64 {
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

// lawSpread is the standard uncertainty of the logarithm of a hand's capacitance by the
// law, where one distance was read, over that of the distance: published laws have 10 to
// 40 cm differ by factors from 1.4 to 43, of which the priors of the law cover a third of
// the variance less. With n distances read it is 1/n of that: with the hands of six field
// calculations the law through 10, 20 and 40 cm is off by 4 to 6 % at 5 cm and by 1 % at 15
// and 30 cm, that through 10 and 20 cm by 16 to 21 % at 40 cm (computed,
// TestHandAtOtherDistance).
const lawSpread = 0.35

// lawUncertainty returns the relative standard uncertainty of the frequency of s that the
// hand's law leaves at a distance not read: lawSpread/n · x in that of the capacitance, with
//
//	x = Π |ln(d/dᵢ)| / (1 + L)^(k−1)
//
// over the smallest, the middle and the largest distance read, k of them, L the logarithm of
// the largest over the smallest. It is smooth, and nothing where it was read.
func (f *forward) lawUncertainty(x []float64, s *State) float64 {
	n := len(f.distances)
	if math.IsInf(s.Hand, 1) || f.hand < 0 || n == 0 {
		return 0
	}
	whole := 1 + math.Log(f.distances[n-1]/f.distances[0])
	away := whole * lawSpread / float64(n)
	for _, i := range slices.Compact([]int{0, n / 2, n - 1}) {
		away *= math.Log(s.Hand/f.distances[i]) / whole
	}
	f.at(x, s)
	return math.Abs(f.resonance.PerTop * f.handCapacitance(x, s.Hand) * away)
}

// thinned takes mostHands of a longer list, evenly by their place in it.
func thinned(list []float64) []float64 {
	if len(list) <= mostHands {
		return list
	}
	few := make([]float64, mostHands)
	for i := range few {
		few[i] = list[i*(len(list)-1)/(mostHands-1)]
	}
	return few
}
