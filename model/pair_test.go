package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func night() []simulated.Step {
	return []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1),
		simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added().Rod(1).Near(0.1), simulated.Added()}
}

// With normal errors a region of probability P ends where χ² is 5.991 for 95 % and 1.386
// for 50 %, with two degrees of freedom; with 10 behind the covariance where F is 4.103
// (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4 and 1.3.6.7.3).
func TestRegion(t *testing.T) {
	e := quantities.Estimate{Value: 2, Uncertainty: 0.1}
	for _, c := range []struct{ probability, degrees, square float64 }{
		{0.95, math.Inf(1), 5.991}, {0.5, math.Inf(1), 1.386}, {0.95, 10, 2 * 4.103},
	} {
		p := quantities.Pair{Inductance: e, Capacitance: e, Correlation: -0.8, Degrees: c.degrees}
		for _, q := range p.Region(c.probability, 16) {
			x, y := math.Log(q[0]/2)/0.05, math.Log(q[1]/2)/0.05
			if got := (x*x + y*y + 1.6*x*y) / (1 - 0.64); !(math.Abs(got/c.square-1) <= 5e-4) {
				t.Errorf("P = %g with %g degrees: %v lies at %g, want %g", c.probability, c.degrees, q, got, c.square)
			}
		}
	}
}

// Frequencies fix L·C: the region of the pair lies along it, and along it is as long as
// the ± of each.
func TestPairLiesAlongItsProduct(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(4, 1)), 2e-4, 0.02, night()...)})
	p, ok := r.Pair()
	if !ok || p.Correlation > -0.99 {
		t.Fatalf("pair %+v, determined %v", p, ok)
	}
	lc := r.Find(quantities.Key{Name: quantities.LCProduct}).Uncertainty / r.Find(quantities.Key{Name: quantities.LCProduct}).Value
	most := 0.0
	for _, q := range p.Region(0.95, 720) {
		most = math.Max(most, math.Abs(math.Log(q[0]*q[1]/p.Inductance.Value/p.Capacitance.Value)))
	}
	if k := most / lc; k < 2.44 || k > 3.5 { // √5.991, more with few degrees of freedom
		t.Errorf("the region reaches %g standard uncertainties of L·C", k)
	}
}

// What parts, readings and the rest bring to the variance adds up to what the budget of
// the quantity says of each.
func TestSourcesAddUp(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(4, 2)), 2e-4, 0.02, night()...)})
	for _, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.BareFrequency} {
		e := r.Find(quantities.Key{Name: name})
		var b quantities.Budget
		parts, count := 0, 0
		for _, s := range r.Sources(e) {
			count += s.Count
			switch s.Kind {
			case estimation.PartSource:
				parts++
				b.Tolerance += s.Share
			case estimation.CommonSource:
				b.Common += s.Share
			case estimation.AssumptionSource:
				b.Assumed += s.Share
			case estimation.KnownSource, estimation.ModelSource:
				t.Errorf("%s: source %+v", name, s)
			default:
				b.Readings += s.Share
			}
		}
		want := e.Budget
		for _, c := range []struct{ got, want float64 }{{b.Readings, want.Readings}, {b.Tolerance, want.Tolerance - want.Common}, {b.Assumed, want.Assumed}, {b.Common, want.Common}} {
			if !(math.Abs(c.got-c.want) <= 1e-6) {
				t.Errorf("%s: shares %+v of a budget %+v", name, b, want)
			}
		}
		if parts != 3 || count != 10 {
			t.Errorf("%s: %d parts, %d readings; want 3 and 10", name, parts, count)
		}
	}
}

// HandDrop is the hand's frequency drop wherever that is told of; away from the distances
// read it is less certain.
func TestHandDrop(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(4, 3)), 2e-4, 0.02, night()...)})
	at := func(d float64) quantities.Estimate {
		s := readings.Bare()
		s.Hand = d
		return decisions.HandDrop(r.Result, s)
	}
	for _, d := range []float64{0.1, 0.2} {
		if got, want := at(d), r.Find(quantities.Key{Name: quantities.HandFrequencyDrop, Hand: d}); !got.Determined || got.Value != want.Value || !(math.Abs(got.Uncertainty/want.Uncertainty-1) <= 1e-9) {
			t.Errorf("at %g m: %v ± %v, want %v ± %v", d, got.Value, got.Uncertainty, want.Value, want.Uncertainty)
		}
	}
	if near, far := at(0.1), at(0.05); !(far.Uncertainty/far.Value > 2*near.Uncertainty/near.Value) {
		t.Errorf("±%.2g at 10 cm, ±%.2g at 5 cm, where nothing was read", near.Uncertainty/near.Value, far.Uncertainty/far.Value)
	}
}

// As drawn too, the pair gives the bare frequency, and the drawing's inductance, in which
// all turns carry the same current, is the larger one.
func TestPairAsDrawn(t *testing.T) {
	d := must.Get(sketch().Predict()).In(t)
	p, ok := d.Pair()
	f := 1 / (2 * math.Pi * math.Sqrt(p.Inductance.Value*p.Capacitance.Value))
	if !ok || !(math.Abs(f/d.Frequency.Value-1) <= 1e-12) || !(p.Inductance.Value < d.Inductance.Value) {
		t.Errorf("%+v, determined %v, with %g Hz for %g", p, ok, f, d.Frequency.Value)
	}
	if u := p.Inductance.Uncertainty/p.Inductance.Value + p.Capacitance.Uncertainty/p.Capacitance.Value; !(u > 0.01 && u < 0.5) {
		t.Errorf("relative uncertainties add up to %g", u)
	}
}
