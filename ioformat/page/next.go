package page

import (
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// advice is the best next reading for one wish.
type advice struct {
	Wish, State, Gain, Why string
	Nothing                bool // no reading helps
}

// advices finds the best next reading for what a maker wants to know: the
// inductance, each core's gain, each part without a value, a near hand. Beside
// the parts of the log two larger capacitors count, new and of the tolerance given
// (relative, standard).
func advices(r *model.Result, tolerance float64) (list []advice, extra []model.Part) {
	extra = larger(r.Parts(), tolerance)
	parts := append(r.Parts()[:len(r.Parts()):len(r.Parts())], extra...)
	for _, w := range wishes(r) {
		plan := r.Next(w, r.Candidates(w, extra), extra, 1)
		if plan.Unknown || len(plan.Ranked) == 0 {
			continue
		}
		best := plan.Ranked[0]
		a := advice{Wish: report.WishText(w, parts), State: wording.State(best.State, parts), Gain: report.GainText(best)}
		a.Why = report.ReasonText(best.Reason, a.Wish)
		a.Nothing = plan.Unmet || best.Reason == model.ReasonNothing
		list = append(list, a)
	}
	return list, extra
}

func wishes(r *model.Result) (list []model.Wish) {
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

// larger returns the next two values of the E3 series (IEC 60063) above all parts.
func larger(parts []model.Part, tolerance float64) (list []model.Part) {
	most := 0.0
	for _, p := range parts {
		if p.Known {
			most = math.Max(most, p.Capacitance)
		}
	}
	if most == 0 {
		most = 2.2e-12
	}
	decade := math.Pow(10, math.Floor(math.Log10(most)))
	for _, e := range []float64{1, 2.2, 4.7, 10, 22, 47, 100} {
		if c := e * decade; c > 1.01*most && len(list) < 2 {
			list = append(list, model.Part{Name: quantity.FormatValue(c, 2, "F").String(), Capacitance: c, Uncertainty: tolerance * c, Known: true})
		}
	}
	return list
}
