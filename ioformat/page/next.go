package page

import (
	"fitcoil/ioformat/report"
	"fitcoil/model"
)

// advice is the best next reading for one wish.
type advice struct {
	Wish, State, Gain, Why string
	Nothing                bool // no reading helps
}

// advices finds the best thing to do next for what a maker wants to know: the
// inductance, each core's gain, each part without a value, a near hand. New
// capacitors count with the tolerance given (relative, standard).
func advices(r *model.Answer, tolerance float64) (list []advice) {
	for _, w := range wishes(r) {
		plan := r.Next(w, r.Candidates(w, model.Bench{Buy: true, Tolerance: tolerance}), nil, 1)
		if plan.Unknown || len(plan.Ranked) == 0 {
			continue
		}
		best := plan.Ranked[0]
		a := advice{Wish: report.WishText(w, r.Parts()), State: report.CandidateText(best.Candidate, r.Parts()), Gain: report.GainText(best)}
		a.Why = report.ReasonText(best.Reason, a.Wish)
		a.Nothing = !best.Helps()
		list = append(list, a)
	}
	return list
}

func wishes(r *model.Answer) (list []model.Wish) {
	bare := model.Bare()
	list = append(list, model.Wish{Name: model.EffectiveInductance, State: bare})
	for _, core := range cores(r) {
		list = append(list, model.Wish{Name: model.CoreGain, Core: core, State: bare})
	}
	for _, p := range r.Parts() {
		if !p.Known {
			list = append(list, model.Wish{Name: model.PartCapacitance, Part: p.Name, State: bare})
		}
	}
	for _, e := range r.Derived {
		if e.Name == model.HandFrequencyDrop {
			near := bare
			near.Hand = e.Hand
			return append(list, model.Wish{Name: e.Name, State: near})
		}
	}
	return list
}
