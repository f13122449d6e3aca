package resonance

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Residuals that follow their neighbours count as fewer: their mean strays √((1 + ρ)/(1 − ρ)) times as
// far, with ρ their lag-1 autocorrelation (the sum of a first-order autoregression, a textbook matter);
// of a cosine of period 16, ρ is nearly cos(2π/16).
func TestUncertaintyOfPatternedResiduals(t *testing.T) {
	x := []float64{math.Log(2.5e6), math.Log(50), 0, 0, 0}
	k := solution{scatter: 0.03, degrees: 1e6}
	k.X = x
	of := func(residual func(i int) float64) float64 {
		s := &sweep{}
		for i := range 160 {
			f := 2.5e6 * (1 + 0.0005*(float64(i)-80))
			s.points = append(s.points, Point{Frequency: f, Amplitude: math.Exp(line(f, x, nil) + residual(i))})
		}
		return s.careful(k)
	}
	near.Times(t, "to and fro", of(func(i int) float64 { return 0.03 * math.Cos(math.Pi*float64(i)) }), 0.03, 1e-3)
	rho := math.Cos(2 * math.Pi / 16)
	near.Times(t, "in waves", of(func(i int) float64 { return 0.03 * math.Cos(2*math.Pi*float64(i)/16) }), 0.03*math.Sqrt((1+rho)/(1-rho)), 0.05)
}

// Where a sweep ends above half power on one side, its width is twice that of the other.
func TestWidthByOneFlank(t *testing.T) {
	for _, above := range []bool{true, false} {
		s := sampled(50, 0, 5)
		var kept []Point
		for _, p := range s.points {
			if off := p.Frequency/2.5e6 - 1; (off > -0.3/50) == above || math.Abs(off) < 0.3/50 {
				kept = append(kept, p)
			}
		}
		s.points = kept
		if err := s.check(); err != nil {
			t.Fatal(err)
		}
		near.Times(t, "width", s.width, 50, 0.1)
	}
}

// Of two peaks the lower is told first, whichever is higher.
func TestTwoPeaksInOrder(t *testing.T) {
	for _, above := range []float64{6, -6} {
		s := sampled(50, 0.8, above)
		var r *Refusal
		if err := s.check(); !errors.As(err, &r) || r.Reason != TwoPeaks || !(r.Frequencies[0] < r.Frequencies[1]) {
			t.Errorf("%+v", r)
		}
	}
}

// The chance of a peak is that of F with as many degrees of freedom as the curve has parameters beside
// a level, and those left: of 12 readings and 7 left, 4 and 7.
func TestChanceOfAPeak(t *testing.T) {
	s := &sweep{}
	var sum, squares float64
	for i := range 12 {
		y := 0.1 * float64(i%4)
		sum, squares = sum+y, squares+y*y
		s.points = append(s.points, Point{Frequency: 1e6 + float64(i), Amplitude: math.Exp(y)})
	}
	all, left := squares-sum*sum/12, 7*0.06*0.06
	want := distuv.F{D1: 4, D2: 7}.Survival((all - left) / 4 / (left / 7))
	near.Times(t, "chance", s.chance(solution{scatter: 0.06, degrees: 7}), want, 1e-9)
}

// A last digit is worth as much of the peak, where readings scatter by a share of that, as it is of a
// reading times the reading's height: rectangular, u = d/√12.
func TestDigitsAsShareOfThePeak(t *testing.T) {
	x := []float64{math.Log(2.5e6), math.Log(50), 0, 0, 0}
	s := &sweep{}
	for _, f := range []float64{2.45e6, 2.5e6, 2.55e6} {
		s.points = append(s.points, Point{Frequency: f, Amplitude: math.Exp(line(f, x, nil)), AmplitudeDigit: 0.02})
	}
	s.top = 1
	near.Times(t, "of the peak", s.digits(x, true), 0.02/math.Sqrt(12), 1e-9)
	sum := 0.0
	for _, p := range s.points {
		sum += 0.02 * 0.02 / p.Amplitude / p.Amplitude / 12 / 3
	}
	near.Times(t, "of each", s.digits(x, false), math.Sqrt(sum), 1e-9)
}

// A peak that the curve puts below all readings is told as below, though the second of them is highest.
func TestPeakBelowAll(t *testing.T) {
	for _, below := range []bool{true, false} {
		var list []Point
		for i := range 24 {
			off := 0.0007 * (float64(i) + 0.9)
			if !below {
				off = -off
			}
			f := 2.5e6 * (1 + off)
			list = append(list, Point{Frequency: f, Amplitude: 1 / math.Hypot(1, 50*(f/2.5e6-2.5e6/f))})
		}
		list[1].Amplitude = 1.003 * list[0].Amplitude
		_, err := Fit(list, Settings{})
		want := AboveAll
		if below {
			want = BelowAll
		}
		var r *Refusal
		if !errors.As(err, &r) || r.Reason != want {
			t.Errorf("below %v: %v", below, err)
		}
	}
}

// What is noted of whole sweeps: of one that is good, nothing; of one with steps beyond the half-power width, how many
// readings lie within it; of one that stops high on a flank, how low it goes there.
func TestNotesOfSweeps(t *testing.T) {
	c := circuit{2.5e6, 60, 0, 0}
	swept := func(at ...float64) (list []Point) { // half-power half widths off
		for i, x := range at {
			f := c.f0 * (1 + x/(2*c.q))
			list = append(list, Point{Frequency: f, Amplitude: c.amplitude(f) * (1 + 0.002*math.Cos(float64(i*i)))})
		}
		return list
	}
	for _, k := range []struct {
		list []Point
		want []Kind
		at   float64 // value of the note
	}{
		{swept(-4, -3, -2, -1.3, -0.8, -0.4, 0, 0.4, 0.8, 1.3, 2, 3, 4), nil, 0},
		{swept(-6, -4.5, -3, -1.5, 0, 1.5, 3, 4.5, 6), []Kind{FewInPeak}, 1},
		{swept(-6, -4.5, -3, -1.5, 0, 0.7, 3, 4.5, 6), []Kind{FewInPeak}, 2},
		{swept(-0.8, -0.6, -0.4, -0.2, 0, 0.4, 0.8, 1.3, 2, 3, 4), []Kind{Below}, 1 / math.Sqrt(1+0.8*0.8)},
		{swept(-4, -3, -2, -1.3, -0.8, -0.4, 0, 0.2, 0.4, 0.6, 0.8), []Kind{Above}, 1 / math.Sqrt(1+0.8*0.8)},
	} {
		r, err := Fit(k.list, Settings{})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []Kind
		for _, n := range r.Notes {
			kinds = append(kinds, n.Kind)
			near.Times(t, "value of the note", n.Value, k.at, 0.02)
		}
		if !slices.Equal(kinds, k.want) {
			t.Errorf("notes %+v, want %v", r.Notes, k.want)
		}
		near.Times(t, "f₀", r.Resonance.Value, c.f0, 1e-3)
	}
	// A resonance between the first two readings, or between the last two, is within the sweep.
	for _, sign := range []float64{1, -1} {
		list := swept(-0.55*sign, 0.45*sign, 0.9*sign, 1.4*sign, 2*sign, 2.7*sign, 3.5*sign, 4.5*sign, 6*sign)
		r, err := Fit(list, Settings{})
		if err != nil {
			t.Error(err)
			continue
		}
		near.Times(t, "f₀ near an end", r.Resonance.Value, c.f0, 1e-3)
	}
}

// A sweep that hardly falls is refused with the relative uncertainty that Q has in it.
func TestWidthLeftOpen(t *testing.T) {
	list := circuit{2.5e6, 60, 0, 0}.swept(9, 0.1, 0.0001, 0, rand.New(rand.NewPCG(3, 9)))
	s := &sweep{points: slices.Clone(list)}
	must.Do(t, s.check())
	u := average(s.solve()).u[lnQuality]
	var r *Refusal
	if _, err := Fit(list, Settings{}); !errors.As(err, &r) || r.Reason != NoWidth || r.Got != u || r.Need != 0.5 {
		t.Errorf("%+v, uncertainty of Q %v", r, u)
	}
}

// Residuals of nothing follow no pattern; the correlation of neighbours stays within ±0.98.
func TestPatternOfNothing(t *testing.T) {
	if c := neighbours(make([]float64, 12)); c != 0 {
		t.Errorf("correlation %v of nothing", c)
	}
	to, flat := make([]float64, 400), make([]float64, 400)
	for i := range to {
		to[i], flat[i] = float64(1-2*(i%2)), 1
	}
	near.To(t, "to and fro", neighbours(to), -0.98, 1e-12)
	near.To(t, "all alike", neighbours(flat), 0.98, 1e-12)
}
