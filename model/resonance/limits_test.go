package resonance

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// amplitudes are readings 1 kHz apart from 1 MHz on.
func amplitudes(list ...float64) *sweep {
	s := &sweep{}
	for i, a := range list {
		s.points = append(s.points, Point{Frequency: 1e6 + 1e3*float64(i), Amplitude: a})
	}
	return s
}

// What a look at the readings refuses, on either side of each limit, with the frequencies that it tells
// (kHz above 1 MHz): seven frequencies, half of the smaller neighbour within the peak, four times the larger
// one, a third of the peak after a fall to 0.8 of that, backed by a neighbour.
func TestLookAtItsLimits(t *testing.T) {
	none := Refusal{Reason: -1}
	few := func(got float64) Refusal { return Refusal{Reason: TooFew, Got: got, Need: 7} }
	at := func(r Reason, kHz ...float64) Refusal {
		var f [2]float64
		for i, k := range kHz {
			f[i] = 1e6 + 1e3*k
		}
		return Refusal{Reason: r, Frequencies: f}
	}
	same := amplitudes(1, 2, 3, 4, 3, 2, 1)
	same.points[1].Frequency = same.points[2].Frequency
	for i, c := range []struct {
		s    *sweep
		want Refusal
	}{
		{amplitudes(1, 2, 3, 4, 3, 2), few(6)}, {amplitudes(1, 2, 3, 4, 3, 2, 1), none}, {same, few(6)},
		{amplitudes(4, 3, 2, 1, 1, 1, 1), at(BelowAll, 0, 6)}, {amplitudes(1, 1, 1, 1, 2, 3, 4), at(AboveAll, 0, 6)},
		{amplitudes(1, 5, 9, 10, 4.4, 9, 5, 1), at(Slip, 4)}, {amplitudes(1, 5, 9, 10, 4.6, 9, 5, 1), none},
		{amplitudes(1, 5, 9, 10, 9, 5.1, 2.5, 5.2, 2), at(Slip, 6)}, {amplitudes(1, 5, 9, 10, 9, 4.9, 2.4, 5.2, 2), none},
		{amplitudes(1, 5, 9, 10, 9, 5, 1, 4.1, 1, 1), at(Slip, 7)}, {amplitudes(1, 5, 9, 10, 9, 5, 1, 3.9, 1, 1), none},
		{amplitudes(1, 5, 9, 10, 9, 5, 2, 3.4, 3, 1), at(TwoPeaks, 3, 7)}, {amplitudes(1, 5, 9, 10, 9, 5, 2, 3.3, 3, 1), none},
		{amplitudes(1, 5, 9, 10, 9, 5, 3.15, 4, 3.9, 1), at(TwoPeaks, 3, 7)}, {amplitudes(1, 5, 9, 10, 9, 5, 3.25, 4, 3.9, 1), none},
		{amplitudes(1, 5, 9, 10, 9, 5, 2, 4, 3.1, 1), at(TwoPeaks, 3, 7)}, {amplitudes(1, 5, 9, 10, 9, 5, 2, 4, 2.9, 1), none},
		{amplitudes(1, 5, 9, 10, 9, 5, 2, 3.1, 4), at(TwoPeaks, 3, 8)}, {amplitudes(1, 5, 9, 10, 9, 5, 2, 2.9, 4), none},
		{amplitudes(1, 4.1, 1, 5, 9, 10, 9, 5, 1), at(Slip, 1)}, {amplitudes(1, 5, 9, 10, 9, 5, 1, 4.1, 1), at(Slip, 7)}, // beside either end
		{amplitudes(4, 3.1, 2, 5, 9, 10, 9, 5, 1), at(TwoPeaks, 0, 5)}, {amplitudes(1, 5, 9, 10, 9, 5, 2, 3.1, 4), at(TwoPeaks, 3, 8)}, // and at it
		{amplitudes(4, 2.9, 2, 5, 9, 10, 9, 5, 1), none}, {amplitudes(9.9, 1, 1, 5, 10, 5, 1), none},
		{amplitudes(2, 4, 4.5, 4, 2, 6, 10, 6, 2, 5, 4, 2), at(TwoPeaks, 6, 9)}, {amplitudes(2, 5, 5.5, 4, 2, 6, 10, 6, 2, 5, 4, 2), at(TwoPeaks, 2, 6)},
	} {
		got := none
		var r *Refusal
		if err := c.s.check(); errors.As(err, &r) {
			got = *r
		}
		if got != c.want {
			t.Errorf("%d: %+v, want %+v", i, got, c.want)
		}
	}
}

// Of equal readings the first is the highest, whichever way they go on.
func TestFirstOfEqualPeaks(t *testing.T) {
	for _, c := range []struct {
		s   *sweep
		top int
	}{{amplitudes(1, 5, 10, 10, 5, 2, 1), 2}, {amplitudes(1, 2, 5, 9, 10, 10, 10, 9, 5), 4}, {amplitudes(1, 5, 9, 10, 9, 5, 2), 3}} {
		if err := c.s.check(); err != nil || c.s.top != c.top {
			t.Errorf("%v, the highest is %d, want %d", err, c.s.top, c.top)
		}
	}
}

// What a fit doesn't determine has no bound: here the readings hang on the frequency alone.
func TestVarianceOfTheUndetermined(t *testing.T) {
	p := fit.Problem{Params: parameters, Data: fit.Rows{N: 9, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = x[lnFrequency] - float64((first+i)%2)
			if jac != nil {
				clear(jac[i*parameters : (i+1)*parameters])
				jac[i*parameters+lnFrequency] = 1
			}
		}
	}}}
	k := solution{Result: must.Get(fit.Solve(p, make([]float64, parameters), fit.Settings{})).In(t)}
	for j := range parameters {
		g := make([]float64, parameters)
		g[j] = 1
		want := math.Inf(1)
		if j == lnFrequency {
			want = 1. / 9 // of nine readings, each of unit standard deviation
		}
		if got := k.variance(g); got != want && !(math.Abs(got-want) < 1e-9) {
			t.Errorf("variance of parameter %d is %v, want %v", j, got, want)
		}
	}
}

// The shape before any fit: half power is crossed on the straight line between two readings; what isn't
// crossed is as wide as the other side, or as the sweep.
func TestShapeByHand(t *testing.T) {
	half := 1 / math.Sqrt2
	cross := func(inside, outside float64) float64 { return (inside - half) / (inside - outside) }
	for _, c := range []struct {
		s                *sweep
		width, low, high float64
	}{
		{amplitudes(0.2, 0.5, 0.9, 1, 0.8, 0.4, 0.3), 1003 / (1 + cross(0.9, 0.5) + 1 + cross(0.8, 0.4)), 0.2, 0.3},
		{amplitudes(0.8, 0.85, 0.9, 1, 0.8, 0.4, 0.3), 1003.0 / 2 / (1 + cross(0.8, 0.4)), 0.8, 0.3},
		{amplitudes(0.8, 0.85, 0.9, 1, 0.9, 0.85, 0.81), 1003. / 6, 0.8, 0.81},
	} {
		if err := c.s.check(); err != nil {
			t.Error(err)
		}
		near.Times(t, "width", c.s.width, c.width, 1e-9)
		near.Times(t, "lowest below", c.s.low, c.low, 1e-12)
		near.Times(t, "lowest above", c.s.high, c.high, 1e-12)
	}
	// (Q/f)·x/(1 + x²)·(1 + (f₀/f)²)… written out: d ln|A|/df = −X/(1 + X²) · Q (1/f₀ + f₀/f²).
	for _, f := range []float64{2.48e6, 2.53e6} {
		x := 50 * (f/2.5e6 - 2.5e6/f)
		near.Times(t, "slope", slope(f, []float64{math.Log(2.5e6), math.Log(50), 1, 0, 0}), -x/(1+x*x)*50*(1/2.5e6+2.5e6/f/f), 1e-6)
	}
}

// Correlation by von Neumann's ratio, 1 − Σ(r − r')²/2Σr², and what is more of it than chance leaves.
func TestPatternAtItsLimits(t *testing.T) {
	near.To(t, "correlation", neighbours([]float64{1, 2, 2, -1}), 1-(1+0+9)/20., 1e-12)
	near.To(t, "at most", neighbours([]float64{5, 5, 5}), 0.98, 0)
	for _, c := range []struct {
		correlation float64
		n           int
		want        bool
	}{{0.97, 9, false}, {0.83, 10, true}, {0.81, 10, false}, {0.265, 100, true}, {0.255, 100, false}, {-0.9, 100, false}} {
		if patterned(c.correlation, c.n) != c.want {
			t.Errorf("%+v", c)
		}
	}
	if few, many := mostChance(9), mostChance(10); few != 2e-3 || many != 1e-4 { // as package documentation has them
		t.Errorf("%v, %v", few, many)
	}
}

// Few readings are not believed to scatter less than 1.5 % at once, which counts as two degrees of freedom;
// what scatters more keeps what it has; the digits are the least.
func TestScatterOfFewReadings(t *testing.T) {
	s := amplitudes(1, -1, 1, -1) // no pattern
	for i := range s.points {
		s.points[i].Amplitude = math.Exp(0.01 * s.points[i].Amplitude)
	}
	k := solution{scatter: 0.001, degrees: 5}
	k.X = []float64{math.Log(1e6), math.Log(1e-6), 0, 0, 0} // level
	near.Times(t, "of little", s.careful(k), math.Sqrt((5*1e-6+2*0.015*0.015)/7), 1e-9)
	k.scatter = 0.02
	near.Times(t, "of much", s.careful(k), 0.02, 1e-9)
	for i := range s.points {
		s.points[i].AmplitudeDigit = 0.1
	}
	near.Times(t, "of digits", s.careful(k), 0.1/math.Sqrt(12), 1e-3)
}

// What is left of a level of 2, and how likely it is: Gaussian about the level where noise is constant, its
// logarithm else, whose density is over each reading; the digits 0.3 of the last place widen both.
func TestLikelihoodByHand(t *testing.T) {
	y := []float64{1.9, 2.3, 2.1, 1.8}
	s := amplitudes(y...)
	s.top = 1
	for i := range s.points {
		s.points[i].AmplitudeDigit = 0.3
	}
	x := []float64{math.Log(1e6), math.Log(1e-6), math.Log(2), 0, 0}
	for _, constant := range []bool{true, false} {
		k := solution{constant: constant, scatter: 0.07}
		k.X = x
		fitted, left := s.residuals(k)
		var squares, lnScale float64
		digits := 0.3 / 2 / math.Sqrt(12)
		for i, v := range y {
			want := math.Log(v / 2)
			if constant {
				want = v - 2
			}
			near.To(t, "fitted", fitted[i], 2, 1e-9)
			near.To(t, "left", left[i], want, 1e-9)
			if constant {
				want /= 2.3
				lnScale -= math.Log(2.3) / 4
			} else {
				lnScale -= math.Log(v) / 4
			}
			squares += want * want
		}
		if constant {
			digits = 0.3 / 2.3 / math.Sqrt(12)
		}
		r := make([]float64, 4)
		s.problem(constant, k.scatter).Data.Evaluate(x, 0, r, nil)
		k.DataSquares = floats.Dot(r, r)
		near.To(t, "squares", k.DataSquares, squares/0.07/0.07, 1e-6)
		s.weigh(&k)
		near.To(t, "likelihood", k.likelihood/4, lnScale-math.Log(squares/4+digits*digits)/2, 1e-6)
	}
	prior := s.problem(true, 1).Prior
	r := make([]float64, prior.N)
	prior.Evaluate([]float64{3, 4, 5, 0.05, -0.2}, 0, r, nil) // u and v beforehand: 0 ± 0.1
	if prior.N != 2 || math.Abs(r[0]-0.5) > 1e-12 || math.Abs(r[1]+2) > 1e-12 {
		t.Errorf("prior %v", r)
	}
}

// A level's chance where noise is constant, with amplitudes of the peak of 4.
func TestChanceInConstantNoise(t *testing.T) {
	s := amplitudes(1, 2, 4, 2, 1, 1, 1, 2)
	s.top = 2
	k := solution{constant: true, scatter: 0.2, degrees: 4}
	// Σ(y − ȳ)²/16 = (32 − 14²/8)/16 = 0.46875; left 0.16; 3 and 4 degrees of freedom: F = 2.572917. The
	// chance by the integral of F's density, by steps (computed).
	f := (0.46875 - 0.16) / 3 / (0.16 / 4)
	density := func(x float64) float64 { return math.Sqrt(x) / math.Pow(1+0.75*x, 3.5) }
	var all, above float64
	for i := range 400000 {
		q := (float64(i) + 0.5) / 400000 // x = q/(1 − q)
		d := density(q/(1-q)) / (1 - q) / (1 - q)
		if all += d; q/(1-q) > f {
			above += d
		}
	}
	near.Times(t, "chance", s.chance(k), above/all, 1e-4)
}

// Fits of both kinds of noise are averaged by their likelihoods, the likelier first; between them is a
// variance too. The peak is the amplitude at f₀, with the direct part.
func TestAverageOfBothNoises(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for _, constant := range []bool{true, false} {
		s := &sweep{points: circuit{2.5e6, 60, 0, complex(0.05, 0.1)}.swept(101, 4, 0.02, 0.0001, rng)}
		if constant {
			s.points = circuit{2.5e6, 60, 0, complex(0.05, 0.1)}.swept(101, 4, 0, 0.01, rng)
		}
		slices.SortFunc(s.points, func(a, b Point) int { return int(math.Copysign(1, a.Frequency-b.Frequency)) })
		if err := s.check(); err != nil {
			t.Fatal(err)
		}
		list := s.solve()
		if len(list) != 2 || list[0].constant != constant || !(list[0].likelihood > list[1].likelihood) {
			t.Fatalf("%d solutions, the first of constant noise %v", len(list), list[0].constant)
		}
		near.To(t, "degrees of freedom", list[0].degrees, 96, 0.5)
		list[1].likelihood = list[0].likelihood - math.Log(3) // one in four
		b := average(list)
		for j := range parameters {
			var value, variance float64
			for i, w := range []float64{0.75, 0.25} {
				g := make([]float64, parameters)
				g[j] = 1
				if j == lnPeak {
					for m := range g {
						up, down := slices.Clone(list[i].X), slices.Clone(list[i].X)
						up[m] += 1e-5
						down[m] -= 1e-5
						f := math.Exp(list[i].X[lnFrequency])
						g[m] = (line(f, up, nil) - line(f, down, nil)) / 2e-5
					}
				}
				v, _ := list[i].Covariance().Variance(g)
				value += w * list[i].X[j]
				d := list[0].X[j] - list[1].X[j]
				variance += w * (v + (1-w)*(1-w)*d*d)
			}
			near.To(t, "value", b.value[j], value, 1e-12*math.Abs(value))
			near.Times(t, "u", b.u[j], math.Sqrt(variance), 1e-6)
		}
	}
}

// Estimates of 401 readings that scatter by 0.02: the scatter, the curve at and between the readings, intervals
// of u times the coverage factor on the scale of logarithms, the time base added to f₀ alone.
func TestResultOfManyReadings(t *testing.T) {
	c := circuit{2.5e6, 60, 0, complex(0.05, 0.1)}
	for _, constant := range []bool{true, false} {
		noise := [2]float64{0.02, 0}
		if constant {
			noise = [2]float64{0, 0.02}
		}
		list := c.swept(401, 4, noise[0], noise[1], rand.New(rand.NewPCG(2, 7)))
		r := must.Get(Fit(list, Settings{})).In(t)
		left, top := 0.0, 0.0
		for i, p := range r.Points {
			d := math.Log(p.Amplitude / r.Fitted[i])
			if constant {
				d = p.Amplitude - r.Fitted[i]
			}
			left, top = left+d*d, max(top, p.Amplitude)
		}
		scatter, invented := math.Sqrt(left/396), 0.02
		if constant { // as a part of the largest reading
			scatter, invented = scatter/top, 2*0.02/top
		}
		near.Times(t, "scatter", r.Scatter, scatter, 1e-3)
		near.Times(t, "scatter", r.Scatter, invented, 0.05)
		near.To(t, "degrees", r.Degrees, 396, 0.5)
		for i, p := range r.Points {
			near.Times(t, "at a reading", r.At(p.Frequency), r.Fitted[i], 1e-12)
			near.Times(t, "beside the circuit's", r.Fitted[i], c.amplitude(p.Frequency), 0.05)
		}
		k := fit.CoverageFactor(0.95, r.Degrees)
		for _, e := range []struct{ value, u, low, high float64 }{
			{r.Resonance.Value, r.Resonance.Uncertainty, r.Resonance.Interval[0], r.Resonance.Interval[1]},
			{r.Quality.Value, r.Quality.Uncertainty, r.Quality.Interval[0], r.Quality.Interval[1]},
			{r.Peak.Value, r.Peak.Uncertainty, r.Peak.Interval[0], r.Peak.Interval[1]},
		} {
			near.Times(t, "upper end", e.high/e.value, math.Exp(k*e.u/e.value), 1e-9)
			near.Times(t, "lower end", e.low/e.value, math.Exp(-k*e.u/e.value), 1e-9)
		}
		wide := must.Get(Fit(list, Settings{Timebase: 1e-4})).In(t)
		near.Times(t, "u with a time base", wide.Resonance.Uncertainty, math.Hypot(r.Resonance.Uncertainty, 250), 1e-4)
		near.Times(t, "u of Q", wide.Quality.Uncertainty, r.Quality.Uncertainty, 1e-12)
	}
}

// Every note, on either side of its limit, with its value. Of 24 readings one of 10 Hz is worth
// 10/√12 · √(2/24) = 0.8333 Hz of the mean.
func TestNotesAtTheirLimits(t *testing.T) {
	x := func(x float64) Point { // X = 2·50·off, nearly
		return Point{Frequency: 2.5e6 * (1 + x/100), FrequencyDigit: 10}
	}
	noted := func(inside int, low, high, direct, u, u0 float64) []Note {
		s := &sweep{low: low, high: high}
		for i := range 24 {
			p := x(1.1)
			if i < inside {
				p = x(-0.9)
			}
			s.points = append(s.points, p)
		}
		r := &Result{}
		r.Direct.Value, r.Direct.Uncertainty, r.Resonance.Uncertainty = direct, u, u0
		s.notes(r, 2.5e6, 50)
		return r.Notes
	}
	// The coarsest of the readings counts, wherever it stands.
	for i := range 24 {
		s := &sweep{points: make([]Point, 24)}
		for k := range s.points {
			s.points[k] = Point{Frequency: 2.5e6, FrequencyDigit: 1}
		}
		s.points[i].FrequencyDigit = 10
		r := &Result{}
		r.Resonance.Uncertainty = 1.65
		if s.notes(r, 2.5e6, 50); !slices.Equal(r.Notes, []Note{{FewDigits, 10}}) {
			t.Errorf("%d: %v", i, r.Notes)
		}
	}
	for i, c := range []struct{ got, want []Note }{
		{noted(3, 0.74, 0.74, 0.14, 0, 2), nil}, {noted(2, 0.74, 0.74, 0.14, 0, 2), []Note{{FewInPeak, 2}}},
		{noted(3, 0.76, 0.74, 0.14, 0, 2), []Note{{Below, 0.76}}}, {noted(3, 0.74, 0.77, 0.14, 0, 2), []Note{{Above, 0.77}}},
		{noted(3, 0.7, 0.7, 0.16, 0.07, 2), []Note{{Coupled, 0.16}}}, {noted(3, 0.7, 0.7, 0.16, 0.09, 2), nil},
		{noted(3, 0.7, 0.7, 0, 0, 1.68), nil}, {noted(3, 0.7, 0.7, 0, 0, 1.65), []Note{{FewDigits, 10}}},
	} {
		if !slices.Equal(c.got, c.want) {
			t.Errorf("%d: %v, want %v", i, c.got, c.want)
		}
	}
}

// A sweep of two modes that overlap tells the correlation of what is left; one that hardly falls leaves the
// width open; noise is no peak. What is refused tells how much there is and how much would do.
func TestWhatFitTells(t *testing.T) {
	two, other := circuit{2.5e6, 60, 0, 0}.swept(41, 5, 0, 0.003, rand.New(rand.NewPCG(1, 9))), circuit{2.545e6, 60, 0, 0}
	for i := range two {
		two[i].Amplitude += 0.6 * other.amplitude(two[i].Frequency)
	}
	r := must.Get(Fit(two, Settings{})).In(t)
	i := slices.IndexFunc(r.Notes, func(n Note) bool { return n.Kind == Pattern })
	if i < 0 || !(r.Notes[i].Value > 2.6/math.Sqrt(41) && r.Notes[i].Value < 1) {
		t.Errorf("notes %v", r.Notes)
	}
	for _, c := range []struct {
		list []Point
		want Reason
		need float64
	}{
		{circuit{2.5e6, 60, 0, 0}.swept(9, 0.1, 0.0001, 0, rand.New(rand.NewPCG(3, 9))), NoWidth, 0.5},
		{circuit{2.5e6, 60, 0, 0}.swept(31, 0.4, 0.03, 0, rand.New(rand.NewPCG(3, 9))), NoPeak, 1e-4},
		{circuit{2.5e6, 60, 0, 0}.swept(9, 0.4, 0.03, 0, rand.New(rand.NewPCG(3, 9))), NoPeak, 2e-3},
	} {
		var r *Refusal
		if _, err := Fit(c.list, Settings{}); !errors.As(err, &r) || r.Reason != c.want || r.Need != c.need || !(r.Got > r.Need) {
			t.Errorf("%v: %+v", c.want, r)
		}
	}
}
