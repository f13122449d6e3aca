package decisions

import (
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Agreed is what several sessions of one coil say of a quantity together.
type Agreed struct {
	quantities.Estimate // the consensus
	Own                 []float64
	Deviations          []float64 // of each session from the consensus, SI
	Sigmas              []float64 // the same in standard uncertainties of what sessions do not share, variance between them included
	Sessions            []*quantities.Estimate
	Between             float64 // standard deviation between sessions beside their own uncertainties, SI
	PValue              float64 // of deviations as large by the sessions' own uncertainties alone
}

// Agree combines the sessions quantity by quantity. Parts of one name and tolerance, and the
// priors on the coil, have the same error in all of them: what these contribute is left out of
// the weights, which are by the random-effects model (see randomEffects), and comes
// on top. Of what only some sessions determine, and of the bench, there is no consensus.
func Agree(sessions []*estimation.Result) (list []Agreed) {
	first := sessions[0]
	for _, estimates := range [][]quantities.Estimate{first.Parameters, first.Derived} {
		for i := range estimates {
			e := &estimates[i]
			if quantities.OfBench(e.Name) || e.Name == quantities.StrayCapacitance {
				continue
			}
			if a, ok := agree(sessions, e.Key); ok {
				list = append(list, a)
			}
		}
	}
	return list
}

func agree(sessions []*estimation.Result, k quantities.Key) (a Agreed, ok bool) {
	n := len(sessions)
	shared := make([]map[string]float64, n)
	values, own, degrees := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, r := range sessions {
		e := r.Find(k)
		if e == nil || !e.Determined || !quantities.Finite(e.Uncertainty) || !(e.Uncertainty > 0) {
			return a, false
		}
		a.Sessions = append(a.Sessions, e)
		values[i], degrees[i] = e.Value, e.Degrees
		shared[i] = map[string]float64{}
		for _, in := range r.Budget(e) {
			if name := sharedInput(&in); name != "" {
				shared[i][name] += in.Contribution
			} else {
				own[i] += in.Contribution * in.Contribution
			}
		}
		own[i] = math.Sqrt(own[i])
		if !(own[i] > 0) {
			return a, false
		}
	}
	c := newRandomEffects(values, own)
	common, all := 0.0, map[string]float64{}
	for i := range shared {
		for name, u := range shared[i] {
			all[name] += c.weights[i] * u
		}
	}
	for _, name := range slices.Sorted(maps.Keys(all)) { // sums have the same last digits every time
		common += all[name] * all[name]
	}
	a.Estimate = *a.Sessions[0]
	a.Value, a.Uncertainty, a.Between, a.PValue, a.Own = c.mean, math.Hypot(c.uncertainty, math.Sqrt(common)), c.between, c.pValue, own
	a.Stated, a.Budget = a.Uncertainty, quantities.Budget{}
	a.Estimate.Cover(consensusDegrees(&a, c, degrees), a.Interval[0] > 0)
	for i, v := range values {
		a.Deviations = append(a.Deviations, v-c.mean)
		// what is left of a value's variance once its weight in the mean is taken out
		u2 := (own[i]*own[i] + c.between*c.between) * (1 - c.weights[i])
		a.Sigmas = append(a.Sigmas, (v-c.mean)/math.Sqrt(u2))
	}
	return a, true
}

// sharedInput names an input that has the same error in all sessions: a part, what
// tolerances have in common, a known value, a prior on the coil; "" for all others.
func sharedInput(in *estimation.Input) string {
	switch in.Kind {
	case estimation.PartSource:
		return "part " + in.Part
	case estimation.CommonSource:
		return "common " + strconv.FormatFloat(in.Uncertainty, 'g', 4, 64) // parts of one tolerance
	case estimation.KnownSource:
		return "known " + in.Known
	case estimation.AssumptionSource:
		if k := in.Assumption.Kind; k != estimation.AssumedLead && k != estimation.AssumedDrift {
			return "prior " + strconv.Itoa(int(k)) + strings.Join(in.Assumption.Names, ",")
		}
	}
	return ""
}

// consensusDegrees are those of a consensus (Welch and Satterthwaite): n − 1 of the part that
// the scatter of sessions tells, those of each session of its own part.
func consensusDegrees(a *Agreed, c randomEffects, degrees []float64) float64 {
	sum := 0.0
	for i, w := range c.weights {
		sum += math.Pow(w*a.Own[i], 4) / degrees[i]
	}
	if c.between > 0 {
		squares := 0.0
		for _, w := range c.weights {
			squares += w * w
		}
		sum += math.Pow(c.between, 4) * squares * squares / float64(len(c.weights)-1)
	}
	return math.Pow(a.Uncertainty, 4) / sum
}
