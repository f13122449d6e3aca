package decisions

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Agreed is what several sessions of one coil say of a quantity together. Of a session that
// doesn't determine it, Sessions has nil, and the other lists have NaN.
type Agreed struct {
	quantities.Estimate // the consensus
	Sessions            []*quantities.Estimate
	Own                 []float64 // standard uncertainty of each session beside what sessions share, SI
	Deviations          []float64 // of each session from the consensus, SI
	Sigmas              []float64 // the same in their standard uncertainties, variance between sessions included; NaN for a single one
	Between             float64   // standard deviation between sessions beside their uncertainties, SI
	PValue              float64   // of deviations as large by the sessions' uncertainties alone; NaN for a single one
	Differs             bool      // by more than chance, with all quantities taken together: 95 %
}

// Count returns how many sessions determine the quantity.
func (a *Agreed) Count() (n int) {
	for _, e := range a.Sessions {
		if e != nil {
			n++
		}
	}
	return n
}

// Agree combines the sessions quantity by quantity, each from those that determine it. Parts of
// one name and value, clips, and the priors on the coil have the same error in all of them; what
// these contribute counts as such (see randomEffects). Of the drift and the stray capacitance,
// which are of a day, there is no consensus.
func Agree(sessions []*estimation.Result) (list []Agreed) {
	done := map[quantities.Key]bool{}
	var chances []float64
	for _, derived := range []bool{false, true} {
		for _, r := range sessions {
			estimates := r.Parameters
			if derived {
				estimates = r.Derived
			}
			for i := range estimates {
				k := estimates[i].Key
				if done[k] || quantities.OfBench(k.Name) || k.Name == quantities.StrayCapacitance {
					continue
				}
				done[k] = true
				if a, ok := agree(sessions, k); ok {
					list, chances = append(list, a), append(chances, a.PValue)
				}
			}
		}
	}
	fails, _ := holm(chances)
	for i := range list {
		list[i].Differs = fails[i]
	}
	return list
}

// Furthest returns the place in list of the quantity that differs most surely between sessions,
// and the session furthest from its consensus; −1, −1 where none differs, and a session of −1
// where only two determine it, neither of which is the one that changed.
func Furthest(list []Agreed) (at, session int) {
	at, session = -1, -1
	for i := range list {
		if list[i].Differs && (at < 0 || list[i].PValue < list[at].PValue) {
			at = i
		}
	}
	if at < 0 || list[at].Count() < 3 {
		return at, session
	}
	for i, s := range list[at].Sigmas {
		if !math.IsNaN(s) && (session < 0 || math.Abs(s) > math.Abs(list[at].Sigmas[session])) {
			session = i
		}
	}
	return at, session
}

// ownLeast is the fraction of its uncertainty that a session has by itself at the least: sums of
// squares of what it shares are no more exact.
const ownLeast = 1e-6

func agree(sessions []*estimation.Result, k quantities.Key) (a Agreed, ok bool) {
	var of []int // the sessions that determine it
	var budgets []shares
	var values, own []float64
	errors := sharedErrors{}
	for i, r := range sessions {
		e := r.Find(k)
		nan := math.NaN()
		a.Own, a.Deviations, a.Sigmas = append(a.Own, nan), append(a.Deviations, nan), append(a.Sigmas, nan)
		if e == nil || !e.Determined || len(of) > 0 && e.Covered != a.Sessions[of[0]].Covered || !quantities.Finite(e.Uncertainty) || !(e.Uncertainty > 0) {
			a.Sessions = append(a.Sessions, nil)
			continue
		}
		a.Sessions = append(a.Sessions, e)
		s := errors.split(r, e)
		a.Own[i] = math.Hypot(s.own, ownLeast*e.Uncertainty)
		of, budgets, values, own = append(of, i), append(budgets, s), append(values, e.Value), append(own, a.Own[i])
	}
	if len(of) == 0 {
		return a, false
	}
	a.Estimate = *a.Sessions[of[0]]
	if len(of) == 1 {
		a.Deviations[of[0]], a.PValue = 0, math.NaN()
		return a, true
	}
	shared := errors.shifts(budgets)
	c := newRandomEffects(values, own, shared)
	a.Value, a.Uncertainty, a.Between, a.PValue = c.mean, c.uncertainty, c.between, c.pValue
	a.Stated, a.Budget = a.Uncertainty, quantities.Budget{}
	a.Estimate.Cover(errors.degrees(c, budgets, shared), a.Interval[0] > 0)
	for n, i := range of {
		a.Deviations[i] = values[n] - c.mean
		a.Sigmas[i] = 0 // where it is the only one that counts
		if c.deviations[n] > 0 {
			a.Sigmas[i] = a.Deviations[i] / c.deviations[n]
		}
	}
	return a, true
}

// shares splits the variance of a value.
type shares struct {
	own      float64            // standard uncertainty beside what sessions share
	readings float64            // of that, variance from readings
	degrees  float64            // of freedom of these
	shared   map[string]float64 // sensitivity to each error in common
}

// sharedErrors are the errors that sessions have in common, by name, in the order that they were
// met in.
type sharedErrors struct {
	list []sharedError
}

type sharedError struct {
	name        string
	uncertainty float64 // the smallest stated: a part has one value
	wide        float64 // times the largest factor on tolerances that a session finds
	degrees     float64 // of freedom of that factor, the fewest
}

// split splits the budget of e, and notes what r shares with others.
func (all *sharedErrors) split(r *estimation.Result, e *quantities.Estimate) (s shares) {
	s.shared = map[string]float64{}
	variance := 0.0
	for _, in := range r.Budget(e) {
		wide := 1.0
		if in.Kind == estimation.PartSource || in.Kind == estimation.CommonSource {
			wide = r.Problem.Wide
		}
		name := sharedInput(&in, wide)
		if name == "" {
			variance += in.Contribution * in.Contribution
			if in.Kind <= estimation.HandReadings {
				s.readings += in.Contribution * in.Contribution
				s.degrees = in.Degrees
			}
			continue
		}
		s.shared[name] += in.Sensitivity
		i := slices.IndexFunc(all.list, func(o sharedError) bool { return o.name == name })
		if i < 0 {
			i, all.list = len(all.list), append(all.list, sharedError{name, math.Inf(1), 1, math.Inf(1)})
		}
		o := &all.list[i]
		o.uncertainty, o.wide, o.degrees = math.Min(o.uncertainty, in.Uncertainty/wide), math.Max(o.wide, wide), math.Min(o.degrees, in.Degrees)
	}
	s.own = math.Sqrt(variance)
	return s
}

// shifts returns what each error in common shifts each value by.
func (all *sharedErrors) shifts(budgets []shares) (list [][]float64) {
	for _, s := range budgets {
		row := make([]float64, len(all.list))
		for k, o := range all.list {
			row[k] = s.shared[o.name] * o.uncertainty * o.wide
		}
		list = append(list, row)
	}
	return list
}

// sharedInput names an input that has the same error in all sessions: a part, what
// tolerances have in common, a known value, a prior on the coil or a clip; "" for all others.
// wide is the factor on its tolerance.
func sharedInput(in *estimation.Input, wide float64) string {
	digits := func(x float64) string { return strconv.FormatFloat(x, 'g', 4, 64) }
	switch in.Kind {
	case estimation.PartSource:
		return "part " + in.Part + " " + digits(in.Value)
	case estimation.CommonSource:
		return "common " + digits(in.Uncertainty/wide) // parts of one tolerance
	case estimation.KnownSource:
		return "known " + in.Known
	case estimation.AssumptionSource:
		if k := in.Assumption.Kind; k != estimation.AssumedDrift {
			return "prior " + strconv.Itoa(int(k)) + strings.Join(in.Assumption.Names, ",")
		}
	}
	return ""
}

// degrees are those of a consensus (Welch and Satterthwaite): n − 1 of the part that the scatter
// of sessions tells, those of each session of what its readings contribute, and those of the
// factor on tolerances, which is of the same parts in all sessions.
func (all *sharedErrors) degrees(c randomEffects, budgets []shares, shared [][]float64) float64 {
	sum, squares := 0.0, 0.0
	for i, w := range c.weights {
		if b := budgets[i]; b.readings > 0 {
			sum += square(w*w*b.readings) / b.degrees
		}
		squares += w * w
	}
	if c.between > 0 {
		sum += square(c.between*c.between*squares) / float64(len(c.weights)-1)
	}
	tolerances, fewest := 0.0, math.Inf(1)
	for k, o := range all.list {
		if math.IsInf(o.degrees, 1) {
			continue
		}
		shift := 0.0
		for i, w := range c.weights {
			shift += w * shared[i][k]
		}
		tolerances, fewest = tolerances+shift*shift, math.Min(fewest, o.degrees)
	}
	sum += square(tolerances) / fewest
	return square(c.uncertainty*c.uncertainty) / sum
}
