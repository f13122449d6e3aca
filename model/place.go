package model

import (
	"iter"
	"math"
)

// stretch is where a core sits.
type stretch struct {
	core     string
	from, to float64
}

func (s *State) stretch() stretch { return stretch{s.Core, s.From, s.To} }

// place is a stretch that a core covers partly, with an unknown of its own: what the
// model errs there is the same for all readings with the core left where it is, so
// that these share it, as they share a capacitor's error.
type place struct {
	stretch
	at int
}

// mostPlaces is how many places are unknowns, so that a log of any length has few of
// these. Beyond, n readings in one place count with the model's uncertainty √n times
// each: their mean then has that of one, as with an unknown where all are in one state.
const mostPlaces = 40

// apart is the fraction of the model's uncertainty in a place by which its errors there
// differ from one another, with more or less on the top: the standard deviation of
// insertions simulated with the coupled slices and fitted with the line, nothing to
// 22 pF on the top, divided by that uncertainty (computed, TestErrorsOfOnePlace). What
// all have in common is the rest.
const (
	apart    = 0.15
	inCommon = 0.98868599666426 // √(1 − apart²)
)

// addPlaces makes room for the places in which the used readings and the further
// states stand more than once. Of a single reading the model's error is as good as its
// own, and costs no unknown.
func (u *unknowns) addPlaces(used iter.Seq[*State], further []State) {
	count := map[stretch]int{}
	add := func(s *State, n int) {
		if !s.partly() {
			return
		}
		before := count[s.stretch()]
		count[s.stretch()] += n
		if before < 2 && before+n >= 2 && u.place(s) < 0 {
			u.places = append(u.places, place{s.stretch(), u.take(1)})
		}
	}
	for s := range used {
		if len(u.places) < mostPlaces {
			add(s, 1)
		}
	}
	for i := range further { // they may be read again and again
		add(&further[i], 2)
	}
}

// place returns where in x the model's error for s stands; −1 for nowhere.
func (u *unknowns) place(s *State) int {
	if s.partly() {
		for i := range u.places {
			if u.places[i].stretch == s.stretch() {
				return u.places[i].at
			}
		}
	}
	return -1
}

// erring multiplies a frequency by what the model errs in data row i, and adds that
// to ∂ln f/∂x.
func (p *problem) erring(x []float64, i int, f float64, grad []float64) float64 {
	if p.model == nil || p.model[i] == 0 {
		return f
	}
	k := p.place(&p.log.Readings[p.rows[i]].State)
	if grad != nil {
		grad[k] = inCommon * p.model[i]
	}
	return f * math.Exp(inCommon*p.model[i]*x[k])
}

// alone returns the relative standard uncertainty that the model adds to a reading
// in s by itself: where an unknown stands for the error of its place, what is left.
func (p *problem) alone(x []float64, s *State) float64 {
	if !s.partly() {
		return 0
	}
	m := p.modelUncertainty(x, s)
	if p.place(s) >= 0 {
		return apart * m
	}
	return m * math.Sqrt(math.Max(1, float64(p.placed[s.stretch()])))
}

// uncertainty returns the standard uncertainty of the frequency read, together
// with what the model adds to it [Hz].
func (p *problem) uncertainty(x []float64, r *Reading) float64 {
	return math.Hypot(r.Uncertainty, p.alone(x, &r.State)*r.Frequency)
}

// among is the uncertainty of data row k as it counts among those that err alike [Hz].
func (p *problem) among(x []float64, k int) float64 {
	r := &p.log.Readings[p.rows[k]]
	return math.Hypot(p.factor(k)*r.Uncertainty, p.alone(x, &r.State)*r.Frequency)
}

// weigh takes the uncertainties of the readings, and what the model errs by where that
// is an unknown, at x.
func (p *problem) weigh(x []float64) {
	p.weighed = make([]float64, len(p.rows))
	if len(p.places) > 0 {
		p.model = make([]float64, len(p.rows))
	}
	p.placed = map[stretch]int{}
	for _, i := range p.rows {
		if s := &p.log.Readings[i].State; s.partly() {
			p.placed[s.stretch()]++
		}
	}
	for k, i := range p.rows {
		r := &p.log.Readings[i]
		p.weighed[k] = p.among(x, k)
		if p.place(&r.State) >= 0 {
			p.model[k] = p.modelUncertainty(x, &r.State)
		}
	}
}

// atPlace adds to ln f and its derivatives grad, of a state s whose place is no unknown,
// what the readings taken there tell of the model's error, and returns the relative
// standard uncertainty that the model leaves. With the error e of unit variance in common
// and the residuals ρ = m·e + ε of readings, its mean is Σ(m ρ/u²)/(1 + Σ m²/u²), its
// variance 1/(1 + Σ m²/u²): what an unknown would come to.
func (r *Result) atPlace(f *forward, x []float64, s *State, grad []float64) (shift, left float64) {
	m := f.modelUncertainty(x, s)
	if !(m > 0) {
		return 0, 0
	}
	if f.place(s) >= 0 {
		return 0, apart * m
	}
	information, weighted := 1.0, 0.0
	row, sum := make([]float64, f.n), make([]float64, f.n)
	for _, i := range r.problem.rows {
		o := &r.session.Log.Readings[i]
		if !o.partly() || o.stretch() != s.stretch() {
			continue
		}
		there := inCommon * f.modelUncertainty(x, &o.State)
		drift, slope := f.drifted(x, r.problem.moments[i])
		residual := math.Log(o.Frequency / f.ideal(x, &o.State, row) / drift)
		if f.drift >= 0 {
			row[f.drift] = slope
		}
		u := math.Hypot(r.scatter.Scale*o.Uncertainty/o.Frequency, apart*there)
		information += there * there / (u * u)
		weighted += there * residual / (u * u)
		for j := range row {
			sum[j] -= there * row[j] / (u * u)
		}
	}
	for j := range grad {
		grad[j] += inCommon * m * sum[j] / information
	}
	return inCommon * m * weighted / information, m * math.Sqrt(apart*apart+inCommon*inCommon/information)
}
