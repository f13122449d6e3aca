package decisions

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// mostAtHand is how many parts are tried in pairs: beyond, those that come nearest alone.
const mostAtHand = 60

// NearestAtHand predicts the best sums of up to two of the parts at hand on the top of
// state s, to bring it to target [Hz]: the n whose frequency is nearest, nearest first, as
// far as they come nearer than s itself.
// parts are indexes; extra lists the parts beyond those of the log, as for Predict.
func NearestAtHand(r *estimation.Result, target float64, s readings.State, extra []readings.Part, parts []int, n int) (out []Prediction) {
	f, x := r.With(extra)
	type set struct {
		parts []int
		off   float64
	}
	try := func(add ...int) set {
		with := s
		with.Parts = append(slices.Clone(s.Parts), add...)
		return set{add, math.Abs(math.Log(f.Frequency(x, &with, nil) / target))}
	}
	bare := try()
	nearer := func(a, b set) int { return cmp.Compare(a.off, b.off) }
	var sets []set
	for _, p := range parts {
		sets = append(sets, try(p))
	}
	stable.Sort(sets, nearer)
	single := slices.Clone(sets[:min(len(sets), mostAtHand)])
	for i, a := range single {
		for _, b := range single[i+1:] {
			sets = append(sets, try(a.parts[0], b.parts[0]))
		}
	}
	stable.Sort(sets, nearer)
	for _, c := range sets[:min(n, len(sets))] {
		if c.off >= bare.off {
			break
		}
		with := s
		with.Parts = append(slices.Clone(s.Parts), c.parts...)
		if p := Predict(r, with, extra); p.Frequency.Determined {
			out = append(out, p)
		}
	}
	return out
}
