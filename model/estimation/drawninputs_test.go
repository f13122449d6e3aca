package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/loss"
	"fitcoil/model/quantities"
)

// A value known of a positive quantity is worth less or more as the readings move it; what is left of
// its uncertainty is that of the quantity itself.
func TestWhatIsLeftOfAKnownValue(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(12, 7)), 2e-4, 0.1, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added())
	r := must.Get(Fit(Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1e-3, Uncertainty: 0.1e-3}}})).In(t)
	e := r.Find(quantities.Key{Name: quantities.Inductance})
	list := r.MovedPriors()
	i := slices.IndexFunc(list, func(b MovedPrior) bool { return b.Kind == KnownSource })
	if i < 0 || !(math.Abs(e.Value/1e-3-1) > 0.05) {
		t.Fatalf("%v, known value at %d", e.Value, i)
	}
	near.Times(t, "now", list[i].Now, e.Value, 1e-6)
	near.Times(t, "left", list[i].Left, e.Uncertainty, 1e-6)
}

// The drawn winding's part of 1/Q is its resistance over its reactance at the bare resonance.
func TestDrawnWindingLoss(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(12, 8)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(), simulated.Added())
	r := must.Get(Fit(Session{Log: log})).In(t)
	coil := field.Coil{Turns: 500, Diameter: 0.03, Length: 0.2, Wire: 0.3e-3}
	r.Session.Drawn = &drawing.Drawn{Drawing: drawing.Drawing{Coil: coil}}
	row, ok := r.drawnLoss(2)
	hz := r.Find(quantities.Key{Name: quantities.BareFrequency}).Value
	reactance := 2 * math.Pi * hz * r.Find(quantities.Key{Name: quantities.Inductance}).Value
	near.Times(t, "1/Q", row.Inverse, loss.Winding(coil, hz)/reactance, 1e-9)
	near.Times(t, "its uncertainty", row.Uncertainty, 0.3*row.Inverse, 1e-12)
	if !ok || row.Read || !slices.Equal(row.Weights, []float64{1, 0}) {
		t.Errorf("%+v %v", row, ok)
	}
	// In another state it is that of the wire there, and counts by ω.
	f, x := r.Problem.Model, r.Solution.X
	loaded := log.Readings[2].State
	at := f.Ideal(x, &loaded, nil)
	near.Times(t, "its weight", r.lossWeights(f, x, &loaded)[0], loss.Winding(coil, at)/loss.Winding(coil, hz)*hz/at, 1e-6)
	// Those of the bare coil tell its two parts only with the drawing.
	for _, i := range []int{0, 3, 4, 5} {
		r.Session.Log.Readings[i].Quality = 0.8 / row.Inverse
	}
	list := r.losses()
	if len(list) != 2 || !list[0].Determined || list[0].Budget != (quantities.Budget{Known: 1}) || list[0].Unit != "1" || list[0].Name != quantities.QualityWinding {
		t.Errorf("%+v", list)
	}
}

// The variance of a stray capacitance has that of the ball as drawn in it, which no other has.
func TestJointVarianceOfAStrayCapacitance(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(12, 9)), 1e-5, 0.001, simulated.Added(), simulated.Added(1), simulated.Added(4.7), simulated.Added(47), simulated.Added(100))
	r := must.Get(Fit(Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}}}})).In(t)
	if p, ok := r.Pair(); !ok || p.Degrees != r.Find(quantities.Key{Name: quantities.EffectiveInductance}).Degrees {
		t.Errorf("%+v", p)
	}
	ball := quantities.Estimate{Key: quantities.Key{Name: quantities.TopCapacitance}, Value: 0.2e-12, Uncertainty: 0.04e-12, Determined: true}
	r.Session.Drawn = &drawing.Drawn{Drawing: drawing.Drawing{Coil: field.Coil{Ball: 0.02}}, Estimates: []quantities.Estimate{ball}}
	stray, ok := r.stray()
	if !ok || !stray.Determined {
		t.Fatalf("%+v", stray)
	}
	r.Derived = append(r.Derived, stray)
	lines := r.Budget(&r.Derived[len(r.Derived)-1])
	if in := lines[len(lines)-1]; in.Kind != KnownSource || in.Known.Name != quantities.TopCapacitance || in.Sensitivity != -1 || in.Contribution != -0.04e-12 || in.Value != 0.2e-12 || in.Unit != ball.Unit {
		t.Errorf("the ball as drawn: %+v", in)
	}
	for _, in := range lines {
		near.To(t, "share", in.Share, math.Pow(in.Contribution/stray.Uncertainty, 2), 1e-6)
		if c := in.Sensitivity * in.Uncertainty; !(math.Abs(c-in.Contribution) <= 1e-9*stray.Uncertainty) {
			t.Errorf("%+v: %v by sensitivity", in, c)
		}
	}
	j := r.Joint()
	for i, e := range j.Estimates {
		near.Times(t, e.Name, j.Covariance[i*len(j.Estimates)+i], e.Uncertainty*e.Uncertainty, 1e-6)
	}
	top := r.Find(quantities.Key{Name: quantities.TopCapacitance}).Uncertainty
	near.Times(t, "u² of the stray capacitance", stray.Uncertainty*stray.Uncertainty, top*top+0.04e-12*0.04e-12, 1e-9)
}

// How far a prior has moved is in its own uncertainties: of one within a factor of 1.5, by its square,
// 2; of 5 ± 2, to 4, −0.5.
func TestMovedInOwnUncertainties(t *testing.T) {
	factor := MovedPrior{Logarithmic: true, Value: 0.2, Uncertainty: math.Log(1.5), Now: 0.45, Left: math.Log(1.5) / 4}
	plain := MovedPrior{Value: 5, Uncertainty: 2, Now: 4, Left: 1}
	near.To(t, "a factor", factor.Moved(), 2, 1e-12)
	near.To(t, "what is left of it", factor.Narrowed(), 0.25, 1e-12)
	near.To(t, "a value", plain.Moved(), -0.5, 1e-12)
	near.To(t, "what is left of it", plain.Narrowed(), 0.5, 1e-12)
}

// A tolerance that is assumed of several parts has the shares of all of them, and what most comes from
// stands first.
func TestAssumedToleranceOfSeveralParts(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(12, 31)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added())
	for i := range log.Parts {
		log.Parts[i].Default = true
	}
	r := must.Get(Fit(Session{Log: log})).In(t)
	shares := 0.0
	for _, in := range r.Budget(r.Find(quantities.Key{Name: quantities.EffectiveInductance})) {
		if in.Kind == PartSource {
			shares += in.Share
		}
	}
	before := math.Inf(1)
	for _, a := range r.Assumed {
		if a.Kind == AssumedTolerance {
			near.To(t, "share of the tolerances", a.Share, shares, 1e-6)
			if a.Count != 3 || len(a.Names) != 3 || !(shares > 0.1) {
				t.Errorf("%+v", a)
			}
		}
		if s := math.Round(100 * a.Share); !(s <= before) {
			t.Errorf("%v with %v %% stands behind %v %%", a.Kind, s, before)
		} else {
			before = s
		}
	}
}
