package page

import (
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// advice is the best next reading for one quantity.
type advice struct {
	Measurand, State, Gain, Why string
	Nothing                     bool // no reading helps
}

// advices finds the best thing to do next for what a maker wants to know: the
// inductance, each core's gain, each part without a value, a near hand. New
// capacitors count with the tolerance given (relative, standard). first is the plan for
// the inductance.
func advices(r *model.Result, first decisions.Planned, tolerance float64) (list []advice) {
	for i, w := range measurands(r) {
		plan := first
		if i > 0 {
			plan = planFor(r, w, tolerance)
		}
		if plan.Unknown || len(plan.Ranked) == 0 {
			continue
		}
		best := plan.Ranked[0]
		a := advice{Measurand: report.MeasurandText(w, r.Parts()), State: report.CandidateText(best.Candidate, r.Parts()), Gain: report.GainText(best)}
		a.Why = report.ReasonText(best.Reason, a.Measurand)
		a.Nothing = !best.Helps()
		list = append(list, a)
	}
	return list
}

// planFor is what to do next for a quantity.
func planFor(r *model.Result, w decisions.Measurand, tolerance float64) decisions.Planned {
	return decisions.Next(r.Result, w, decisions.Candidates(r.Result, w, decisions.Bench{Buy: true, Tolerance: tolerance}), nil, 1)
}

func measurands(r *model.Result) (list []decisions.Measurand) {
	bare := readings.Bare()
	list = append(list, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: bare})
	for _, core := range r.Cores() {
		list = append(list, decisions.Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: core}, State: bare})
	}
	for _, p := range r.Parts() {
		if !p.Known {
			list = append(list, decisions.Measurand{Key: quantities.Key{Name: quantities.PartCapacitance, Part: p.Name}, State: bare})
		}
	}
	for _, e := range r.Derived {
		if e.Name == quantities.HandFrequencyDrop {
			return append(list, decisions.Measurand{Key: e.Key, State: bare})
		}
	}
	return list
}
