package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A parabola for each quantity and an ellipse for each pair, by standard uncertainty, correlation
// and k; the profile ends its interval where it has risen by k², and nearly is the parabola where
// the readings are good; steps are told one by one.
func TestSurface(t *testing.T) {
	_, r := tried(t)
	list := r.Principal(3)
	var told []int
	s := r.Surface(list, func(i, n int) {
		if told = append(told, i); n != 6 {
			t.Errorf("of %d steps", n)
		}
	})
	if !slices.Equal(told, []int{1, 2, 3, 4, 5, 6}) || len(s.Curves) != 3 || len(s.Regions) != 3 {
		t.Fatalf("steps %v, %d curves, %d regions", told, len(s.Curves), len(s.Regions))
	}
	correlations := r.Correlations(list)
	for i, c := range s.Curves {
		e := list[i]
		k, u := e.Coverage, e.Uncertainty/e.Value
		if c.Estimate != e || c.Limit != k*k || len(c.Linear) != 97 || len(c.Profile) < 19 {
			t.Errorf("%s: limit %v, %d and %d points", e.Name, c.Limit, len(c.Linear), len(c.Profile))
		}
		for j, p := range c.Linear {
			z := 1.3 * k * (float64(j)/48 - 1)
			if !(math.Abs(p.Rise-z*z) <= 1e-9) || !(math.Abs(math.Log(p.At/e.Value)-z*u) <= 1e-9) {
				t.Errorf("%s, point %d: %+v", e.Name, j, p)
			}
		}
		for side, p := range []fit.CurvePoint{c.Profile[0], c.Profile[len(c.Profile)-1]} {
			if root := math.Sqrt(p.Rise) / k; !(root > 1.27 && root < 1.6) || (p.At > e.Value) != (side == 1) {
				t.Errorf("%s: the profile ends at %v times k", e.Name, root)
			}
		}
		profile := r.ProfileOf(e)
		for side, at := range profile.Profile {
			rise := 0.0 // of the profile there, straight between its points
			for j := 1; j < len(c.Profile); j++ {
				if a, b := c.Profile[j-1], c.Profile[j]; a.At <= at && at <= b.At {
					rise = a.Rise + (b.Rise-a.Rise)*(at-a.At)/(b.At-a.At)
				}
			}
			if !(math.Abs(rise/(k*k)-1) <= 0.12) || profile.Better || !(math.Abs(math.Log(at/e.Value)) <= 4*k*u) || (at > e.Value) != (side == 1) {
				t.Errorf("%s ends at %v, where χ² has risen by %v, k² is %v", e.Name, at, rise, k*k)
			}
		}
		for j := range list {
			if s.Correlation(i, j) != correlations[3*i+j] {
				t.Errorf("correlation %v", s.Correlation(i, j))
			}
		}
	}
	for n, g := range s.Regions {
		if want := [][2]int{{0, 1}, {0, 2}, {1, 2}}[n]; g.First != want[0] || g.Second != want[1] || len(g.Linear) != 96 || len(g.Profile) != 48 {
			t.Fatalf("region %d: %+v", n, g)
		}
		a, b := list[g.First], list[g.Second]
		rho := s.Correlation(g.First, g.Second)
		k := fit.JointFactor(0.95, math.Min(a.Degrees, b.Degrees))
		for _, p := range g.Profile {
			x, y := math.Log(p[0]/a.Value)/a.Uncertainty*a.Value, math.Log(p[1]/b.Value)/b.Uncertainty*b.Value
			if z := math.Hypot(x, (y-rho*x)/math.Sqrt(1-rho*rho)); !(z > 0.5*k && z < 2*k) {
				t.Errorf("region %d: a point %v times k off", n, z/k)
			}
		}
		for i, p := range g.Linear {
			x, y := math.Log(p[0]/a.Value)/a.Uncertainty*a.Value, math.Log(p[1]/b.Value)/b.Uncertainty*b.Value
			angle := 2 * math.Pi * float64(i) / 96
			if !(math.Abs(x-k*math.Cos(angle)) <= 1e-9) || !(math.Abs((y-rho*x)/math.Sqrt(1-rho*rho)-k*math.Sin(angle)) <= 1e-6*k) {
				t.Errorf("region %d, point %d: %v, %v", n, i, x, y)
			}
		}
	}
	var names []string
	for _, e := range r.Principal(99) {
		names = append(names, e.Name+e.Core+e.Part)
	}
	want := []string{"effective_inductance", "effective_capacitance", "core_gainrod", "core_capacitancerod", "part_capacitancespike", "hand_frequency_drop", "bare_frequency", "winding_capacitance", "top_capacitance", "inductance", "lead_capacitance", "drift"}
	want = slices.DeleteFunc(want, func(name string) bool { return !slices.Contains(names, name) })
	if !slices.Equal(names, want) || len(names) < 8 {
		t.Errorf("principal are %v", names)
	}
	if e := r.Principal(99)[5]; e.Name != quantities.HandFrequencyDrop || e.Hand != 0.1 {
		t.Errorf("the nearest hand is %+v", e.Key)
	}
	if !slices.EqualFunc(r.Principal(3), list, func(a, b *quantities.Estimate) bool { return a == b }) {
		t.Error("three of them")
	}
	p := Profiled{Estimate: &quantities.Estimate{Uncertainty: 10, Interval: [2]float64{80, 120}}, Profile: [2]float64{80.9, 119.1}}
	if p.Differs() {
		t.Error("by less than a tenth")
	}
	for _, ends := range [][2]float64{{81.1, 120}, {80, 121.1}, {math.Inf(-1), 120}, {80, math.NaN()}} {
		if p.Profile = ends; !p.Differs() {
			t.Errorf("%v doesn't differ", ends)
		}
	}
}

// From which distribution trials draw each row: digits and limits are rectangular.
func TestDistributionsOfRows(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added().Rod(0.5)}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(22, 5)), 2e-4, 0.01, steps...)
	for _, i := range []int{0, 2, 6} {
		log.Readings[i].FromDigits = true
	}
	log.Readings[2].Repeats = &readings.Repeats{Count: 2}
	log.Parts[1].Rectangular = true
	for i := range log.Parts {
		log.Parts[i].Lot, log.Parts[i].Common = "kit", 0.25
	}
	r, err := Fit(Session{Log: log})
	if err != nil || r.Solution.Scale != 1 {
		t.Fatal(err)
	}
	d := r.distributions()
	for k := range log.Readings {
		if (d.Data[k] != nil) != (k == 0) {
			t.Errorf("reading %d", k)
		}
	}
	for i, o := range r.Problem.Origins {
		if (d.Prior[i] != nil) != (o == FromTolerance && r.Problem.PriorOf[i] == 1) {
			t.Errorf("prior %d of origin %v", i, o)
		}
		if checked := r.PartErrors.Redundancy >= 1.5; checked && d.Doubtful[i] != (o == FromTolerance || o == FromCommon) || !checked && d.Doubtful != nil {
			t.Errorf("prior %d: in doubt %v", i, d.Doubtful)
		}
	}
	log.Parts[0].Rectangular = true // the first of the lot
	r, _ = Fit(Session{Log: log})
	d = r.distributions()
	for i, o := range r.Problem.Origins {
		if (d.Prior[i] != nil) != (o == FromCommon || o == FromTolerance && r.Problem.PriorOf[i] < 2) {
			t.Errorf("prior %d of origin %v", i, o)
		}
	}
	loud := *r
	loud.Solution.Scale, loud.PartErrors = 1.5, partSpread{Factor: 1.2, Redundancy: 2.5}
	d = loud.distributions()
	for k := range log.Readings {
		if d.Data[k] != nil {
			t.Errorf("reading %d scatters, and is drawn by its digits", k)
		}
	}
	if d.DoubtDegrees != loud.PartErrors.degrees() || len(d.Doubtful) != len(r.Problem.Origins) {
		t.Errorf("%v degrees, %v", d.DoubtDegrees, d.Doubtful)
	}
	for i, o := range r.Problem.Origins {
		if d.Doubtful[i] != (o == FromTolerance || o == FromCommon) {
			t.Errorf("prior %d of origin %v in doubt", i, o)
		}
	}
	shared, problem := *r, *r.Problem
	problem.factors = slices.Repeat([]float64{1.4}, len(log.Readings))
	if shared.Problem = &problem; shared.distributions().Data[0] != nil {
		t.Error("a rounding error that others share drawn by its digits")
	}
	shorter := 0.0
	m := r.MonteCarlo(fit.Trials{Most: 200, Seed: 3})
	if m.Trials+m.Failed != 200 || m.Seed != 3 || m.Degrees != r.Solution.ScaleDegrees || len(m.Quantities) != len(r.told()) {
		t.Errorf("%+v", m)
	}
	for _, p := range m.Quantities {
		shorter = max(shorter, (p.Symmetric[1]-p.Symmetric[0])/(p.Shortest[1]-p.Shortest[0])-1)
		if !(math.Abs(p.Low-math.Abs(p.Symmetric[0]-p.Interval[0])) <= 1e-9*math.Abs(p.Value)) || !(math.Abs(p.High-math.Abs(p.Symmetric[1]-p.Interval[1])) <= 1e-9*math.Abs(p.Value)) {
			t.Errorf("%s: ends apart by %v and %v", p.Name, p.Low, p.High)
		}
		if !(math.Abs(p.Mean-p.Value) <= 0.5*p.Deviation) || !(p.Deviation > 0.6*p.Uncertainty && p.Deviation < 4*p.Uncertainty) || !(p.Shortest[1]-p.Shortest[0] <= p.Symmetric[1]-p.Symmetric[0]) || !(p.Symmetric[0] < p.Value && p.Value < p.Symmetric[1]) {
			t.Errorf("%s: %v ± %v in %v, by trials %v ± %v in %v and %v", p.Name, p.Value, p.Uncertainty, p.Interval, p.Mean, p.Deviation, p.Symmetric, p.Shortest)
		}
	}
	if !(shorter > 1e-3) {
		t.Errorf("the shortest intervals are by %v shorter", shorter)
	}
}

// A triangle stays one, and RᵀR what it is, when its first two rows are turned.
func TestTriangular(t *testing.T) {
	const n = 4
	r := []float64{3, 1, 2, 5, 4, 2, -1, 7, 0, 0, 6, 2, 0, 0, 0, 1}
	was := slices.Clone(r)
	triangular(r, n)
	square := func(r []float64, i, j int) (sum float64) {
		for k := range n {
			sum += r[k*n+i] * r[k*n+j]
		}
		return sum
	}
	for i := range n {
		for j := range n {
			if !(math.Abs(square(r, i, j)-square(was, i, j)) <= 1e-12) {
				t.Errorf("RᵀR: %v, was %v", square(r, i, j), square(was, i, j))
			}
		}
	}
	if r[n] != 0 || !(math.Abs(r[0]-5) <= 1e-12) {
		t.Errorf("%v", r[:2*n])
	}
}

// An interval by profile likelihood becomes that of its estimate where it differs from the linear one
// by more than a tenth of u, and was found; what is compared with the linear one afterwards still is.
func TestProfilesQuoted(t *testing.T) {
	for name, c := range map[string]struct {
		profile [2]float64
		better  bool
		quoted  bool
	}{
		"differs":       {[2]float64{7.7, 14}, false, true},
		"nearly linear": {[2]float64{8.05, 11.95}, false, false},
		"open":          {[2]float64{8, math.Inf(1)}, false, true},
		"not found":     {[2]float64{math.NaN(), 14}, false, false},
		"better fit":    {[2]float64{7.7, 14}, true, false},
	} {
		e := quantities.Estimate{Value: 10, Uncertainty: 1, Interval: [2]float64{8, 12}, Determined: true}
		p := Profiled{&e, c.profile, c.better}
		differs := p.Differs()
		for range 2 { // once more changes nothing
			p.Quote()
			want := [2]float64{8, 12}
			if c.quoted {
				want = c.profile
			}
			if e.ByProfile != c.quoted || e.Interval != want || e.LinearInterval() != [2]float64{8, 12} || p.Differs() != differs {
				t.Errorf("%s: %+v", name, e)
			}
		}
	}
}
