package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// everything is a session with all that a log may hold: parts of a lot, some of whose tolerances
// nobody stated, one by itself, one without a value, an empty clip, a core all in and twice half in,
// hands at five distances, a shorted primary, digits, a drift; of readings that scatter, after two
// sessions, one of them on another bench.
func everything(t testing.TB) Session {
	t.Helper()
	c := simulated.Lighthouse()
	c.Drift = 4e-4
	rng := rand.New(rand.NewPCG(31, 7))
	kit := map[float64]float64{2.2: 0.03, 4.7: -0.02, 10: 0.01, 22: -0.04, 33: 0.02}
	session := func(noise float64, steps ...simulated.Step) Session {
		log := c.With(kit).Session(rng, noise, 0.01, steps...)
		for i := range log.Parts {
			if p := &log.Parts[i]; p.Known && p.Name != "2.2" {
				p.Lot, p.Common, p.Default = "kit", 0.25, p.Name != "10"
			} else if p.Known {
				p.Uncertainty *= 2
			}
		}
		return Session{Log: log}
	}
	s := session(1e-4, simulated.Added(2.2), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(4.7, 22), simulated.Added(33), simulated.Added(22),
		simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(0.5), simulated.Added(4.7).Rod(0.5),
		simulated.Added().Near(0.05), simulated.Added().Near(0.08), simulated.Added().Near(0.13), simulated.Added().Near(0.2), simulated.Added().Near(0.4),
		simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7), simulated.EmptyClip(), simulated.Added(4.7), simulated.Added(2.2))
	for i := range s.Log.Readings {
		s.Log.Readings[i].Uncertainty /= 6
	}
	s.Log.Readings[1].FromDigits, s.Log.Readings[3].FromDigits = true, true
	s.Log.Readings[19].Primary.Kind = readings.PrimaryShorted
	s.Log.Readings[19].Frequency *= 1.02
	s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.26e-3, Uncertainty: 0.03e-3}}
	for i, steps := range [][]simulated.Step{
		{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(), simulated.Added(22)},
		{simulated.Added(), simulated.Added(10), simulated.Added(33), simulated.Added(), simulated.Added(10).Rod(1)},
	} {
		e := must.Get(Fit(session(1e-4, steps...))).In(t).Carry()[0]
		e.Log, e.Bench = []string{"one", "two"}[i], i
		s.Follow(e)
	}
	return s
}

// offTolerance is read of parts that err by more than their tolerances.
func offTolerance() readings.Log {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(3, 22)), 1e-5, 0.05, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(6.8), simulated.Added(10), simulated.Added(15), simulated.Added(22), simulated.Added(33))
	for i := range log.Parts {
		log.Parts[i].Uncertainty /= 4
	}
	return log
}

// dense are the rows of a fit, standardised, and the inverse of JᵀJ.
type dense struct {
	data, prior *mat.Dense
	covariance  mat.Dense
}

func newDense(t testing.TB, p *Problem, x []float64, scale float64) (d dense) {
	t.Helper()
	var all mat.Dense
	of := func(e fit.Rows) *mat.Dense {
		r, jac := make([]float64, e.N), make([]float64, e.N*p.N)
		e.Evaluate(x, 0, r, jac)
		return mat.NewDense(e.N, p.N, jac)
	}
	d.data, d.prior = of(p.Data), of(p.Prior)
	d.data.Scale(1/scale, d.data)
	all.Stack(d.data, d.prior)
	var information mat.Dense
	information.Mul(all.T(), &all)
	must.Do(t, d.covariance.Inverse(&information))
	return d
}

// by returns the covariance of gᵀx with each of rows.
func (d *dense) by(rows *mat.Dense, g []float64) []float64 {
	var w, v mat.VecDense
	w.MulVec(&d.covariance, mat.NewVecDense(len(g), g))
	v.MulVec(rows, &w)
	return v.RawVector().Data
}

func (d *dense) variance(g []float64) float64 {
	v := mat.NewVecDense(len(g), g)
	return mat.Inner(v, &d.covariance, v)
}

func squares(v []float64) (sum float64) {
	for _, v := range v {
		sum += v * v
	}
	return sum
}

// doubtful is ν S⁴/(S² − 1 + δ)² of SolveScaled and of partSpread.
func doubtful(scale, redundancy, doubt float64) float64 {
	return redundancy * math.Pow(scale, 4) / math.Pow(scale*scale-1+doubt, 2)
}

// trusted is doubtful of readings, by how much their scatter is doubted beforehand.
func trusted(scale, redundancy float64) float64 {
	return doubtful(scale, redundancy, 0.75*math.Exp(-redundancy*redundancy/64))
}

// Everything that is told of the quantities of a fit, against the rows of its problem and the whole
// inverse of JᵀJ: the standard uncertainty, that by the stated ones, where the variance comes from,
// Welch's and Satterthwaite's degrees of freedom, the interval, and by how much parts miss their
// tolerances. With tolerances as stated, and enlarged.
func TestAllOfAFitByTheWholeInverse(t *testing.T) {
	for _, c := range []struct {
		wide   float64
		partly bool
	}{{0, true}, {1.7, true}, {1.7, false}} {
		s, wide := everything(t), c.wide
		s.wide = wide
		for i := range s.Log.Readings {
			o := &s.Log.Readings[i]
			o.Use = c.partly || !o.Partly()
		}
		r := must.Get(Fit(s)).In(t)
		p, x := r.Problem, r.Solution.X
		scale := r.Solution.Scale
		if !(r.Scatter.Scale > 1.2) || (len(p.Places) == 1) != c.partly || len(p.Near) != 5 || len(p.Lots) != 1 || len(p.Strays) != 1 || len(p.Couplings) != 1 || p.Wide != max(1, wide) {
			t.Fatalf("scale %v, %v, %+v", scale, r.Scatter, p.Unknowns)
		}
		now := newDense(t, p, x, scale)
		var stated dense
		p.byStated(func() { stated = newDense(t, p, x, 1) })
		if stated.prior.At(slices.Index(p.Origins, FromCommon), p.Lots[0].At) != 1 || now.prior.At(slices.Index(p.Origins, FromCommon), p.Lots[0].At) != 1/p.Wide {
			t.Error("tolerances as stated")
		}
		// Parts: T² = (1 + Σe²)/(n − Σh) over tolerances and lots.
		redundancy, errors := 0.0, 0.0
		for i, o := range p.Origins {
			if o == FromTolerance || o == FromCommon {
				row := mat.Row(nil, i, now.prior)
				redundancy += 1 - now.variance(row)
				at := p.Lots[0].At
				if o == FromTolerance {
					at = p.PartAt[p.PriorOf[i]]
				}
				errors += x[at] * x[at]
			}
		}
		near.Times(t, "redundancy of the parts", r.PartErrors.Redundancy, redundancy, 1e-6)
		near.Times(t, "their factor", r.PartErrors.Factor, max(1, math.Sqrt((1+errors)/redundancy)), 1e-6)
		near.Times(t, "their chance", r.PartErrors.Chance, fit.ChiSquareSurvival(errors, redundancy), 1e-6)
		ofParts := doubtful(r.PartErrors.Factor, redundancy, 2./3*math.Exp(-redundancy*redundancy/49))
		readBefore := math.Inf(1)
		for _, e := range p.Earlier {
			readBefore = min(readBefore, trusted(e.Scale, max(1, e.Checked)))
		}
		told := 0
		for _, q := range p.Quantities() {
			e := r.Find(q.Key)
			if !e.Determined || e.Bound != fit.Free || q.Model != nil {
				continue
			}
			told++
			g := make([]float64, p.N)
			near.Times(t, q.Name, e.Value, q.Value(p.Model, x, g), 1e-12)
			variance := now.variance(g)
			near.Times(t, q.Name+": u", e.Uncertainty, math.Sqrt(variance), 1e-6)
			near.Times(t, q.Name+": u as stated", e.Stated, math.Sqrt(stated.variance(g)), 1e-6)
			var of [Origins]float64
			for i, c := range now.by(now.prior, g) {
				of[p.Origins[i]] += c * c / variance
			}
			want := quantities.Budget{Readings: squares(now.by(now.data, g)) / variance, Tolerance: of[FromTolerance] + of[FromCommon], Common: of[FromCommon],
				Known: of[FromKnown] + of[FromEarlier], Earlier: of[FromEarlier], Assumed: of[fromAssumption] + of[fromBench], Bench: of[fromBench], Model: of[fromModel]}
			b := e.Budget
			for i, c := range [][2]float64{{b.Readings, want.Readings}, {b.Tolerance, want.Tolerance}, {b.Common, want.Common}, {b.Known, want.Known}, {b.Earlier, want.Earlier}, {b.Assumed, want.Assumed}, {b.Bench, want.Bench}, {b.Model, want.Model}} {
				if !(math.Abs(c[0]-c[1]) <= 1e-6) {
					t.Errorf("%s: share %d of %+v, want %+v", q.Name, i, b, want)
				}
			}
			degrees := 1 / (want.Readings*want.Readings/r.Solution.ScaleDegrees + want.Earlier*want.Earlier/readBefore + want.Tolerance*want.Tolerance/ofParts)
			near.Times(t, q.Name+": degrees", e.Degrees, degrees, 1e-5)
			k := fit.CoverageFactor(0.95, e.Degrees)
			low, high := e.Value-k*e.Uncertainty, e.Value+k*e.Uncertainty
			switch f := math.Exp(k * e.Uncertainty / e.Value); {
			case q.Squared && b.Readings > 0.5:
				reach := 2 * k * e.Uncertainty * e.Value
				low, high = math.Sqrt(max(0, e.Value*e.Value-reach)), math.Sqrt(e.Value*e.Value+reach)
			case q.Positive:
				low, high = e.Value/f, e.Value*f
			case q.Unsigned:
				low = max(low, 0)
			}
			if !(math.Abs(e.Interval[0]-low)+math.Abs(e.Interval[1]-high) <= 1e-9*e.Uncertainty) {
				t.Errorf("%s: %v, want %v to %v", q.Name, e.Interval, low, high)
			}
			for i, in := range r.Budget(e) {
				u := in.Uncertainty
				if in.Kind < PartSource {
					u = r.Problem.Weighed[i] * scale
				}
				if in.Kind != EarlierSource && (in.Uncertainty != u || !(math.Abs(in.Sensitivity*u-in.Contribution) <= 1e-9*e.Uncertainty)) {
					t.Errorf("%s: %+v, u %v", q.Name, in, u)
				}
				if in.Kind == ModelSource {
					half := readings.State{Core: "rod", To: 0.5, Hand: math.Inf(1)}
					near.Times(t, "what the model errs by in a place", in.Uncertainty, math.Sqrt(0.96)*p.ModelUncertainty(x, &half), 1e-9)
				}
				near.To(t, q.Name+": a share", in.Share, in.Contribution*in.Contribution/variance, 1e-6)
			}
		}
		if told < 15 {
			t.Errorf("only %d quantities", told)
		}
		if pair, ok := r.Pair(); !ok || pair.Degrees != r.Find(quantities.Key{Name: quantities.EffectiveInductance}).Degrees {
			t.Errorf("%v degrees of a pair", pair.Degrees)
		}
		assumedShares(t, r, &now)
		rowsTold(t, r, &now)
	}
}

// The distribution of what a lot has in common is that of its first part.
func TestFirstOfALot(t *testing.T) {
	p := must.Get(NewProblem(everything(t))).In(t)
	for i, o := range p.Origins {
		part := p.statedBy(i, o)
		switch {
		case o == FromCommon && part != &p.Parts[1], o == FromTolerance && part != &p.Parts[p.PriorOf[i]], o != FromCommon && o != FromTolerance && part != nil:
			t.Errorf("row %d of %v is stated by %+v", i, o, part)
		}
	}
}

// assumedShares compares the assumptions' shares in the variance of the effective inductance, and
// those of lines that stand for several rows.
func assumedShares(t *testing.T, r *Result, now *dense) {
	t.Helper()
	p := r.Problem
	l := r.Find(quantities.Key{Name: quantities.EffectiveInductance})
	g := r.gradient(l, p.Quantities())
	variance := now.variance(g)
	want := map[string]float64{}
	name := func(kind AssumptionKind, names ...string) string {
		if kind == AssumedTolerance || kind == AssumedCommon || len(names) == 0 {
			names = []string{""}
		}
		return string(rune('A'+kind)) + names[0]
	}
	for i, c := range now.by(now.prior, g) {
		switch a := p.Assumed; {
		case p.Origins[i] == FromEarlier:
			want[name(AssumedEarlier, p.earlierOf(i).Log)] += c * c / variance
		case i < len(a) && a[i].Kind != NotAssumed:
			want[name(a[i].Kind, a[i].Names...)] += c * c / variance
		}
	}
	for k, c := range now.by(now.data, g) {
		if r.Session.Log.Readings[p.Rows[k]].FromDigits {
			want[name(AssumedDigits)] += c * c / variance
		}
	}
	want[name(AssumedPrimary)] = 0
	if len(want) != len(r.Assumed) {
		t.Errorf("%d assumptions, want %d: %+v", len(r.Assumed), len(want), r.Assumed)
	}
	before := math.Inf(1)
	for _, a := range r.Assumed {
		share, ok := want[name(a.Kind, a.Names...)]
		if percent := math.Round(100 * a.Share); !ok || !(math.Abs(a.Share-share) <= 1e-6) || !(percent <= before) {
			t.Errorf("%+v: share %v, want %v, before it %v %%", a, a.Share, share, before)
		} else {
			before = percent
		}
		if a.Kind == AssumedDigits && a.Count != 2 {
			t.Errorf("%d readings by their digits", a.Count)
		}
		single := a.Kind != AssumedDigits && a.Kind != AssumedTolerance && a.Kind != AssumedEarlier && a.Kind != AssumedPrimary
		if math.IsNaN(a.Moved) == single || math.IsNaN(a.Left) == single {
			t.Errorf("%+v: moved and left", a)
		}
	}
	for _, log := range []string{"one", "two"} {
		i := slices.IndexFunc(r.Budget(l), func(in Input) bool { return in.Kind == EarlierSource && in.Earlier == log })
		if in := r.Budget(l)[i]; !(math.Abs(in.Share-want[name(AssumedEarlier, log)]) <= 1e-6) || in.Count != map[string]int{"one": 6, "two": 5}[log] {
			t.Errorf("%+v, want %v", in, want[name(AssumedEarlier, log)])
		}
	}
}

// rowsTold compares residuals, leverages, Cook's distances and what priors have become.
func rowsTold(t *testing.T, r *Result, now *dense) {
	t.Helper()
	p, x := r.Problem, r.Solution.X
	trace := 0.0
	ofReadings := r.Scatter.Scale / r.Solution.Scale // the rest is for what the model errs by as well
	for k, i := range p.Rows {
		o := &r.Readings[i]
		near.Times(t, "weighed", o.Weighed, p.Weighed[k]*r.Solution.Scale, 2e-3)
		near.Times(t, "weighed", p.Weighed[k], math.Hypot(ofReadings*o.Uncertainty, p.Alone(x, &o.State)*o.Frequency), 2e-3)
		h := now.variance(mat.Row(nil, k, now.data))
		trace += h
		fitted := p.Ideal(x, &o.State, nil) * (1 + forward.DriftSigma*x[p.Drift]*p.moments[i])
		if at := p.Place(&o.State); at >= 0 {
			fitted *= math.Exp(forward.InCommon * p.ModelUncertainty(x, &o.State) * x[at])
		}
		near.Times(t, "fitted", o.Fitted, fitted, 1e-6)
		near.To(t, "residual", o.Residual, o.Frequency-o.Fitted, 1e-9)
		near.To(t, "leverage", o.Leverage, h, 1e-6)
		u := r.Problem.Weighed[k] * r.Solution.Scale
		if h > 1-1e-6 {
			continue
		}
		z := o.Residual / u / math.Sqrt(1-h)
		near.To(t, "standardised", o.Standardised, z, 1e-4*max(1, math.Abs(z)))
		near.To(t, "Cook", o.Cook, z*z*h/(1-h)/float64(p.N), 1e-3*max(0.1, o.Cook))
	}
	near.To(t, "sum of leverages", trace+squaresOfPriors(now), float64(p.N), 1e-6)
	for i := range p.Assumed {
		a := p.Assumed[i]
		j := slices.IndexFunc(r.Assumed, func(b Assumption) bool { return b.Kind == a.Kind && slices.Equal(b.Names, a.Names) })
		if a.Kind == NotAssumed || j < 0 || a.Kind == AssumedTolerance {
			continue
		}
		res, jac := make([]float64, 1), make([]float64, p.N)
		p.Prior.Evaluate(x, i, res, jac)
		near.To(t, "moved", r.Assumed[j].Moved, res[0], 1e-9)
		near.To(t, "left", r.Assumed[j].Left, math.Sqrt(now.variance(jac)), 1e-6)
	}
}

func squaresOfPriors(now *dense) (sum float64) {
	n, _ := now.prior.Dims()
	for i := range n {
		sum += now.variance(mat.Row(nil, i, now.prior))
	}
	return sum
}
