package decisions

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"fitcoil/fit"
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
		return "known " + in.Known.Name + " " + in.Known.Core
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

// randomEffects is the weighted mean of values that differ by more than their
// uncertainties, with a variance between them.
type randomEffects struct {
	mean        float64
	uncertainty float64   // standard, of the mean, shared errors included
	between     float64   // standard deviation between values, beside their uncertainties
	weights     []float64 // of the values in the mean; none is below 0, they sum to 1
	deviations  []float64 // standard uncertainty of the difference of each value from the mean
	q           float64   // χ² of the differences between values, without a variance between them
	pValue      float64   // of a q as large by chance; NaN for a single value
}

// newRandomEffects combines n values with their own standard uncertainties own > 0. shared[i]
// is what each error that values have in common shifts value i by, per standard uncertainty of
// that error. With V = diag(own²) + shared·sharedᵀ, the random-effects model of R. DerSimonian
// and N. Laird (Control. Clin. Trials 7, 1986, 177–188), written for correlated values, has the
// variance between them
//
//	τ² = max(0, (Q − (n − 1))/tr P),  Q = vᵀPv,  P = V⁻¹ − V⁻¹11ᵀV⁻¹/(1ᵀV⁻¹1)
//
// For values without common errors, or that all of these shift alike, tr P is Σw − Σw²/Σw with
// w = 1/own², as there; for n groups of equal size it is the analysis of variance of JCGM
// 100:2008, H.5. The mean is the one of least variance by V + τ² that no value counts in with
// the opposite sign: it stands among the values, however strongly they are correlated.
func newRandomEffects(values, own []float64, shared [][]float64) (c randomEffects) {
	n := len(values)
	errors := make([][]float64, n) // of each value, by independent unit errors: own, between, shared
	for i := range errors {
		errors[i] = append(make([]float64, 2*n), shared[i]...)
		errors[i][i] = own[i]
	}
	c.pValue = math.NaN()
	if n > 1 {
		_, inverse := contrasts(errors)
		trace := 0.0
		for i := range n - 1 {
			for j := range n - 1 {
				v := inverse.At(i, j)
				c.q += v * (values[i+1] - values[0]) * (values[j+1] - values[0])
				trace += v
			}
			trace += inverse.At(i, i)
		}
		c.pValue = fit.ChiSquareSurvival(c.q, float64(n-1))
		c.between = math.Sqrt(math.Max(0, (c.q-float64(n-1))/trace))
	}
	for i := range errors {
		errors[i][n+i] = c.between
	}
	c.weights = leastVariance(errors)
	c.mean = floats.Dot(c.weights, values)
	mean := make([]float64, len(errors[0]))
	for i, w := range c.weights {
		floats.AddScaled(mean, w, errors[i])
	}
	c.uncertainty = floats.Norm(mean, 2)
	for i := range errors {
		c.deviations = append(c.deviations, floats.Distance(errors[i], mean, 2))
	}
	return c
}

// contrasts returns the differences of the errors of all values from those of the first, in which
// what all have alike cancels, and their inverse covariance.
func contrasts(errors [][]float64) (differences [][]float64, inverse *mat.SymDense) {
	n := len(errors) - 1
	differences = make([][]float64, n)
	m := mat.NewSymDense(n, nil)
	for i := range n {
		differences[i] = floats.SubTo(make([]float64, len(errors[0])), errors[i+1], errors[0])
		for j := range i + 1 {
			m.SetSym(i, j, floats.Dot(differences[i], differences[j]))
		}
	}
	var c mat.Cholesky
	c.Factorize(m) // positive definite, since each value has an error of its own
	inverse = mat.NewSymDense(n, nil)
	c.InverseTo(inverse)
	return differences, inverse
}

// leastVariance returns the weights of the mean of least variance, none below 0: a value that
// would count with the opposite sign is left out, the most negative first.
func leastVariance(errors [][]float64) []float64 {
	weights := make([]float64, len(errors))
	in := make([]int, len(errors))
	for i := range in {
		in[i] = i
	}
	for {
		some := make([][]float64, len(in))
		for k, i := range in {
			some[k] = errors[i]
		}
		w := make([]float64, len(in))
		w[0] = 1
		if len(in) > 1 {
			differences, inverse := contrasts(some)
			for i := range differences {
				for j, d := range differences {
					w[i+1] -= inverse.At(i, j) * floats.Dot(d, some[0])
				}
				w[0] -= w[i+1]
			}
		}
		worst := floats.MinIdx(w)
		if w[worst] >= 0 {
			for k, i := range in {
				weights[i] = w[k]
			}
			return weights
		}
		in = slices.Delete(in, worst, worst+1)
	}
}
