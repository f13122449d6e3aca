package forward

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// What the model errs by: of a core partly in by what the line's picture leaves and where its end
// stands, ± half a per cent of the winding; of a hand's law between distances read; of a primary's
// coupling that the mode carried over. Nothing elsewhere.
func TestWhatTheModelErrsBy(t *testing.T) {
	f, x := modelOf(false)
	for i, s := range states() {
		want := 0.0
		if s.Partly() {
			k := f.Core(s.Core)
			g := math.Exp(x[k.At])
			over, _ := resonator.Covered(s.From, s.To, x[k.Ends])
			apart := 0.017
			if s.From > 0 {
				apart = 0.054
			}
			f.At(x, &s)
			ends := f.Resonance.Cores[0].PerGain * (g - 1) * apart / (1 + (g-1)*over)
			hi, lo := s, s
			hi.To, lo.To = s.To+1e-3, s.To-1e-3
			slope := math.Log(independent(f, x, &hi)/independent(f, x, &lo)) / 2e-3
			want = math.Hypot(ends, 0.0029*slope)
		}
		if got := f.ModelUncertainty(x, &s); !(math.Abs(got-want) <= 1e-9*want) {
			t.Errorf("state %d: %v, want %v", i, got, want)
		}
		want = 0
		if s.Primary.Kind != readings.PrimaryOpen && len(s.Parts) > 0 {
			bare := readings.Bare()
			change := f.byMode(x, &s) - f.byMode(x, &bare)
			square := (1 - math.Exp(-0.04)) * math.Exp(2*change)
			want = square / (1 - square) * math.Hypot(0.003, 0.01*change)
		}
		if got := f.TransferUncertainty(x, &s); !(math.Abs(got-want) <= 1e-12*want) {
			t.Errorf("state %d: coupling %v, want %v", i, got, want)
		}
	}
	for d, away := range map[float64]float64{0.1: 0, 0.4: 0, 0.2: math.Ln2 * math.Ln2, 0.8: 3 * math.Ln2 * math.Ln2, 0.05: 3 * math.Ln2 * math.Ln2} {
		s := readings.Bare()
		s.Hand = d
		hz := f.Frequency(x, &s, nil)
		want := math.Abs(f.Resonance.PerTop) * 2e-13 * math.Pow(0.26/(d+0.06), 2.2) * 0.35 / 2 * away / (1 + math.Log(4))
		if got := f.LawUncertainty(x, &s); !(math.Abs(got-want) <= 1e-9*want) || hz < 1e5 {
			t.Errorf("hand at %v m: %v, want %v", d, got, want)
		}
	}
	// Of a coupling with a core it is the mode there that counts, and a tenth of what it changes.
	for _, c := range []struct {
		change func(s *readings.State)
		at     int
		part   float64
	}{
		{func(s *readings.State) { s.Hand = 0.1 }, 0, 0.01},
		{func(s *readings.State) { s.Exact = 5e-12 }, 0, 0.01},
		{func(s *readings.State) { s.Core, s.To, s.Parts = "rod", 1, []int{1} }, 1, 0.1},
		{func(s *readings.State) { s.Core, s.To, s.Hand = "rod", 1, 0.1 }, 1, 0.1},
	} {
		s := readings.Bare()
		s.Primary.Kind = readings.PrimaryShorted
		c.change(&s)
		ref := readings.Bare()
		if s.Core != "" {
			ref.Core, ref.To = "rod", 1
		}
		change := f.byMode(x, &s) - f.byMode(x, &ref)
		square := (1 - math.Exp(-2*x[f.Couplings[c.at].At])) * math.Exp(2*change)
		near.Times(t, "coupling carried over", f.TransferUncertainty(x, &s), square/(1-square)*math.Hypot(0.003, c.part*change), 1e-9)
	}
	for _, c := range []struct {
		read []float64
		d    float64
		away float64 // of 0.35
	}{
		{[]float64{0.2}, 0.4, math.Ln2},
		{[]float64{0.2}, 0.1, math.Ln2},
		{[]float64{0.1, 0.15, 0.4}, 0.8, math.Log(8) * math.Log(0.8/0.15) * math.Ln2 / math.Pow(1+math.Log(4), 2) / 3},
	} {
		f.Distances = c.read
		s := readings.Bare()
		s.Hand = c.d
		f.Frequency(x, &s, nil)
		near.Times(t, "a hand's law", f.LawUncertainty(x, &s), math.Abs(f.Resonance.PerTop)*2e-13*math.Pow(0.26/(c.d+0.06), 2.2)*0.35*c.away, 1e-9)
	}
	f.Distances = []float64{0.1, 0.2, 0.3, 0.4} // the smallest, the middle and the largest count
	s := readings.Bare()
	s.Hand = 0.2
	f.Frequency(x, &s, nil)
	whole := 1 + math.Log(4)
	want := math.Abs(f.Resonance.PerTop) * 2e-13 * 0.35 / 4 * math.Ln2 * math.Log(1.5) * math.Ln2 / (whole * whole)
	if got := f.LawUncertainty(x, &s); !(math.Abs(got-want) <= 1e-9*want) {
		t.Errorf("hand among four: %v, want %v", got, want)
	}
	s.Primary.Kind = readings.PrimaryShorted // of the mode that s has, whatever was looked at before
	s.Core, s.To = "rod", 1
	f.At(x, &s)
	want = math.Abs(f.Resonance.PerTop) * 2e-13 * 0.35 / 4 * math.Ln2 * math.Log(1.5) * math.Ln2 / (whole * whole)
	f.Frequency(x, &s, nil)
	near.Times(t, "hand beside a primary", f.LawUncertainty(x, &s), want, 1e-9)
	away := readings.Bare()
	if f.LawUncertainty(x, &away) != 0 {
		t.Error("nobody near leaves something open")
	}
	f.Distances = nil
	if f.LawUncertainty(x, &s) != 0 {
		t.Error("a law that no distance was read of leaves something open")
	}
	partly := readings.Bare()
	partly.Core, partly.To = "rod", 0.4
	f.At(x, &partly)
	is := f.Resonance
	is.Cores = slices.Clone(is.Cores)
	if f.CoverSlope(x, &partly); !reflect.DeepEqual(f.Resonance, is) {
		t.Errorf("the slope leaves the mode %+v, was %+v", f.Resonance, is)
	}
}

// The drift is DriftSigma times its unknown, from −½ to ½ of the session.
func TestDrifted(t *testing.T) {
	f, x := modelOf(false)
	factor, slope := f.Drifted(x, -0.5)
	if !(math.Abs(factor-math.Exp(-0.5*0.5*5e-4)) <= 1e-15) || slope != -0.5*5e-4 {
		t.Errorf("%v, %v", factor, slope)
	}
	f.Drift = -1
	if factor, slope = f.Drifted(x, 0.5); factor != 1 || slope != 0 {
		t.Errorf("%v, %v", factor, slope)
	}
}
