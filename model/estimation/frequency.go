package estimation

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Afterwards returns the moment of one more reading: as far behind the last as readings are
// apart.
func (p *Problem) Afterwards() float64 { return 0.5 + 1/float64(max(1, len(p.Rows)-1)) }

// Frequency returns the frequency of Predict alone, in a fraction of the time.
func (r *Result) Frequency(s readings.State, extra []readings.Part) quantities.Estimate {
	f, x := r.With(extra)
	return r.FrequencyAt(f, x, &s)
}

// Spread returns the frequency of s [Hz] and its standard uncertainty, as Frequency does
// without saying where that comes from, and whether they are determined.
func (r *Result) Spread(s readings.State) (hz, u float64, determined bool) {
	f, x := r.With(nil)
	grad := make([]float64, f.N)
	hz = f.Frequency(x, &s, grad)
	law := f.LawUncertainty(x, &s)
	if !quantities.Finite(hz) || !quantities.Finite(grad...) {
		return hz, u, false
	}
	shift, model := r.atPlace(f, x, &s, grad)
	variance, determined := r.Covariance.Variance(grad)
	relative := math.Hypot(math.Hypot(math.Sqrt(variance), f.TransferUncertainty(x, &s)), math.Hypot(model, law))
	if !(relative <= Vague/10) { // where it comes from decides
		e := r.FrequencyAt(f, x, &s)
		return e.Value, e.Uncertainty, e.Determined
	}
	hz *= math.Exp(shift)
	return hz, hz * relative, determined
}

// FrequencyAt returns the frequency of s by the forward model and the unknowns of With, as
// Frequency does.
func (r *Result) FrequencyAt(f *forward.Model, x []float64, s *readings.State) quantities.Estimate {
	e := quantities.Estimate{Key: quantities.Key{Name: "frequency"}, Unit: "Hz"}
	grad := make([]float64, f.N)
	hz := f.Frequency(x, s, grad)
	law := f.LawUncertainty(x, s)
	if !quantities.Finite(hz) || !quantities.Finite(grad...) {
		return e.Forget()
	}
	shift, model := r.atPlace(f, x, s, grad)
	hz *= math.Exp(shift)
	e.Value = hz
	floats.Scale(hz, grad)
	r.uncertainty(&e, grad)
	e.Widen(hz * math.Hypot(math.Hypot(model, f.TransferUncertainty(x, s)), law))
	q := forward.Quantity{Key: quantities.Key{Name: e.Name}, Positive: true}
	if !e.Determined || !isDetermined(&q, hz, e.Uncertainty, true, e.Budget) {
		return e.Forget()
	}
	r.Cover(&e, true)
	return e
}

// With returns the forward model and the unknowns with room for the errors of
// parts that no reading shares: those of extra, and those of the log that are in
// no reading used. Each is one more unknown, 0 ± 1.
func (r *Result) With(extra []readings.Part) (*forward.Model, []float64) {
	if len(extra) > 0 {
		return r.extra(extra)
	}
	if r.further.Model == nil {
		r.further.Model, r.further.x = r.extra(nil)
	}
	return r.further.Model, r.further.x
}

func (r *Result) extra(extra []readings.Part) (*forward.Model, []float64) {
	f := *r.Problem.Model
	f.Parts = append(slices.Clone(f.Parts), extra...)
	f.PartAt = slices.Clone(f.PartAt)
	f.LotAt = slices.Clone(f.LotAt)
	for i := range extra {
		f.PartAt, f.LotAt = append(f.PartAt, -1), append(f.LotAt, f.LotOf(&extra[i]))
	}
	if f.Lead < 0 && !quantities.RulesOut(r.Session.Known, quantities.LeadCapacitance) {
		f.Lead = f.Take(1)
	}
	for i, p := range f.Parts {
		if f.PartAt[i] < 0 && p.Known && p.Uncertainty > 0 && (f.LotAt[i] < 0 || p.Common < 1) {
			f.PartAt[i] = f.Take(1)
			if f.Owned > 0 {
				f.Owned++ // these stand after the others
			}
		}
	}
	x := make([]float64, f.N)
	copy(x, r.Solution.X)
	return &f, x
}

// TypicalUncertainty returns the relative standard uncertainty of one more
// reading like those used: their root mean square, scatter included. Behind a
// mean, one reading scatters more.
func (r *Result) TypicalUncertainty() float64 {
	var sum float64
	for _, i := range r.Problem.Rows {
		o := &r.Session.Log.Readings[i]
		u := r.Scatter.Scale * o.Uncertainty
		if o.Repeats != nil {
			u = math.Hypot(u, o.Repeats.Deviation)
		}
		u /= o.Frequency
		sum += u * u
	}
	return math.Sqrt(sum / float64(len(r.Problem.Rows)))
}

// atPlace adds to ln f and its derivatives grad, of a state s whose place is no unknown,
// what the readings taken there tell of the model's error, and returns the relative
// standard uncertainty that the model leaves. With the error e of unit variance in common
// and the residuals ρ = m·e + ε of readings, its mean is Σ(m ρ/u²)/(1 + Σ m²/u²), its
// variance 1/(1 + Σ m²/u²): what an unknown would come to.
func (r *Result) atPlace(f *forward.Model, x []float64, s *readings.State, grad []float64) (shift, left float64) {
	m := f.ModelUncertainty(x, s)
	if !(m > 0) {
		return 0, 0
	}
	if f.Place(s) >= 0 {
		return 0, forward.Apart * m
	}
	information, weighted := 1.0, 0.0
	row, sum := make([]float64, f.N), make([]float64, f.N)
	for _, i := range r.Problem.Rows {
		o := &r.Session.Log.Readings[i]
		if !o.Partly() || o.Stretch() != s.Stretch() {
			continue
		}
		model := f.ModelUncertainty(x, &o.State)
		there := forward.InCommon * model
		drift, slope := f.Drifted(x, r.Problem.moments[i])
		residual := math.Log(o.Frequency / f.Ideal(x, &o.State, row) / drift)
		if f.Drift >= 0 {
			row[f.Drift] = slope
		}
		u := math.Hypot(r.Scatter.Scale*o.Uncertainty/o.Frequency, forward.Apart*model)
		information += there * there / (u * u)
		weighted += there * residual / (u * u)
		for j := range row {
			sum[j] -= there * row[j] / (u * u)
		}
	}
	for j := range grad {
		grad[j] += forward.InCommon * m * sum[j] / information
	}
	return forward.InCommon * m * weighted / information, m * math.Sqrt(forward.Apart*forward.Apart+forward.InCommon*forward.InCommon/information)
}

// Numeric estimates exp(log(x)).
func (r *Result) Numeric(f *forward.Model, x []float64, name, unit string, log func(x []float64) float64) quantities.Estimate {
	return r.estimateAt(f, x, forward.Quantity{Key: quantities.Key{Name: name}, Unit: unit, Positive: true,
		Value: forward.Exponential(func(_ *forward.Model, x, grad []float64) float64 {
			f.Slopes(x, grad, log)
			return log(x)
		})})
}

// NewReading returns the 95 % interval for one new reading where the frequency e is
// predicted. Its scatter is known as well as that of the readings used, as is what they
// bring to the uncertainty of e.
func (r *Result) NewReading(e *quantities.Estimate) [2]float64 {
	own := e.Value * r.TypicalUncertainty()
	u := math.Hypot(e.Uncertainty, own)
	share := math.Pow(own/u, 2)
	new := quantities.Estimate{Value: e.Value, Uncertainty: u, Budget: e.Budget.Scaled(1 - share)}
	new.Budget.Readings += share
	r.Cover(&new, true)
	return new.Interval
}

// Added returns the capacitance that the fit finds on the top in state s [F],
// apart from the coil's own and a hand's. NaN when a part is undetermined.
func (r *Result) Added(s readings.State) float64 {
	for _, i := range s.Parts {
		if k := r.Problem.PartAt[i]; k >= 0 && r.Relative(k)*r.Problem.Relative(i) > Vague {
			return math.NaN()
		}
	}
	return r.Problem.Added(r.Solution.X, &s)
}
