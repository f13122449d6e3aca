package resonator

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// The uniform line against tabulated roots of cot θ = θ·Ct/Cd, computed with
// independent root finding to all digits shown (Ct/Cd, θ, effective capacitance
// seen with the full inductance over Cd).
var uniformLine = []struct{ ratio, theta, effective float64 }{
	{0, 1.57079633, 0.405285},
	{0.1, 1.42887001, 0.389795},
	{0.2, 1.31383772, 0.379317},
	{0.5, 1.07687399, 0.362324},
	{1, 0.86033359, 0.351034},
	{2, 0.65327119, 0.343220},
	{5, 0.43284072, 0.337572},
	{10, 0.31105285, 0.335503},
	{20, 0.22176039, 0.334431},
}

func TestLineAgainstTabulatedRoots(t *testing.T) {
	const l, cd = 2.3e-3, 7e-12
	var line Line
	var r Resonance
	for _, row := range uniformLine {
		line.Resonate(Winding{Inductance: l, Capacitance: cd, Top: row.ratio * cd}, &r)
		theta := r.Omega * math.Sqrt(l*cd)
		if !(math.Abs(theta-row.theta) <= 0.5e-8) {
			t.Errorf("Ct/Cd = %v: θ = %.9f, want %.8f", row.ratio, theta, row.theta)
		}
		effective := 1/(r.Omega*r.Omega*l)/cd - row.ratio
		if !(math.Abs(effective-row.effective) <= 0.5e-6) {
			t.Errorf("Ct/Cd = %v: effective capacitance %.7f Cd, want %.6f", row.ratio, effective, row.effective)
		}
	}
}

func TestLineLimits(t *testing.T) {
	const l, c = 1e-3, 1e-11
	var line Line
	var r Resonance
	for _, share := range []float64{1, 1 - 1e-16, 1 - 1e-13, 1 - 1e-9, 1 - 1e-6} {
		// Near the lumped limit the winding counts as a third of its capacitance:
		// Rayleigh's mass correction for a loaded spring.
		line.Resonate(Winding{Inductance: l, Capacitance: (1 - share) * c, Top: share * c}, &r)
		want := 1 / math.Sqrt(l*c*(share+(1-share)/3))
		if !(math.Abs(r.Omega/want-1) <= 1e-12) {
			t.Errorf("share %v: ω = %v, want %v", share, r.Omega, want)
		}
	}
	line.Resonate(Winding{Inductance: l, Capacitance: c}, &r)
	if want := math.Pi / 2 / math.Sqrt(l*c); !(math.Abs(r.Omega/want-1) <= 1e-14) {
		t.Errorf("no top load: ω = %v, want %v", r.Omega, want)
	}
	if want := c / 2; !(math.Abs(r.Capacitance/want-1) <= 1e-13) { // mean of sin² over a quarter wave
		t.Errorf("no top load: effective capacitance %v, want %v", r.Capacitance, want)
	}
	for _, w := range []Winding{{}, {Inductance: l}, {Inductance: l, Capacitance: -c, Top: 2 * c},
		{Inductance: l, Capacitance: c, Top: -5e-12}, {Inductance: math.Inf(1), Capacitance: c},
		{Inductance: math.NaN(), Capacitance: c}, {Inductance: l, Capacitance: c, Cores: []Stretch{{0, 1, -2, 0, ""}}}} {
		line.Resonate(w, &r)
		if !math.IsNaN(r.Omega) || !math.IsNaN(r.PerTop) {
			t.Errorf("%+v: ω = %v, want NaN", w, r.Omega)
		}
	}
}

// telegraphers integrates dV/dx = ω L'(x) I, dI/dx = −ω C'(x) V from the base
// by the classic fourth-order Runge-Kutta rule, in steps that end at the edges
// of the cores, and returns I − ω Ct V at the top.
func telegraphers(w Winding, omega float64) float64 {
	edges := []float64{0}
	for _, s := range w.Cores {
		edges = append(edges, s.From, s.To)
	}
	edges = append(edges, 1)
	v, i := 0.0, 1.0/omega/w.Inductance
	for k := 1; k < len(edges); k++ {
		span := edges[k] - edges[k-1]
		if span <= 0 {
			continue
		}
		l, c := w.Inductance, w.Capacitance
		if k%2 == 0 { // between the k/2-th core's ends
			s := w.Cores[k/2-1]
			l *= s.Gain
			c += s.Capacitance / span
		}
		const steps = 2000
		h := span / steps
		dv := func(i float64) float64 { return omega * l * i }
		di := func(v float64) float64 { return -omega * c * v }
		for range steps {
			v1, i1 := dv(i), di(v)
			v2, i2 := dv(i+h/2*i1), di(v+h/2*v1)
			v3, i3 := dv(i+h/2*i2), di(v+h/2*v2)
			v4, i4 := dv(i+h*i3), di(v+h*v3)
			v, i = v+h/6*(v1+2*v2+2*v3+v4), i+h/6*(i1+2*i2+2*i3+i4)
		}
	}
	return i - omega*w.Top*v
}

// ringing finds the lowest root of telegraphers: the first change of sign on a
// ladder of small steps, then bisection.
func ringing(w Winding) float64 {
	l, c := 0.0, w.Top+w.Capacitance
	for _, s := range w.Cores {
		l += (s.To - s.From) * (s.Gain - 1)
		c += s.Capacitance
	}
	lo := 0.5 / math.Sqrt(w.Inductance*(1+l)*c)
	for hi := lo * 1.02; ; hi *= 1.02 {
		if telegraphers(w, hi) < 0 {
			for range 60 {
				if mid := (lo + hi) / 2; telegraphers(w, mid) > 0 {
					lo = mid
				} else {
					hi = mid
				}
			}
			return (lo + hi) / 2
		}
		lo = hi
	}
}

var corered = []Winding{
	{1e-3, 6e-12, 1e-12, []Stretch{{0, 0.6, 1.7, 0.2e-12, ""}}},
	{1e-3, 6e-12, 0, []Stretch{{0.2, 0.6, 4, 0, ""}}},
	{1e-3, 6e-12, 20e-12, []Stretch{{0, 1, 1.6, 0.3e-12, ""}}},
	{1e-3, 6e-12, 3e-12, []Stretch{{0.5, 1, 25, 1e-12, ""}}},
	{1e-3, 6e-12, 3e-12, []Stretch{{0, 0.3, 3, 0.1e-12, ""}, {0.3, 0.45, 1.2, 0, ""}, {0.8, 0.9, 9, 0.4e-12, ""}}},
	{1e-3, 1e-15, 3e-12, []Stretch{{0.1, 0.3, 3, 1e-13, ""}}},
}

func TestSectionsAgainstIntegratedTelegraphersEquations(t *testing.T) {
	var line Line
	var r Resonance
	for _, w := range corered {
		line.Resonate(w, &r)
		if want := ringing(w); !(math.Abs(r.Omega/want-1) <= 1e-8) {
			t.Errorf("%+v: ω = %.12g, integrated %.12g", w, r.Omega, want)
		}
	}
}

// Elements of any size: the mode found is the lowest, with no other below it.
func TestLowestModeOfWildWindings(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	wild := func(decades float64) float64 { return math.Pow(10, decades*(2*rng.Float64()-1)) }
	var line Line
	var r Resonance
	fallen := 0
	for range 150 {
		a, b := rng.Float64(), rng.Float64()
		w := Winding{1e-3, 6e-12 * wild(1), 3e-12 * wild(3), []Stretch{{min(a, b), max(a, b), wild(2), 6e-12 * wild(3), ""}}}
		line.Resonate(w, &r)
		want := ringing(w)
		if !(math.Abs(r.Omega/want-1) <= 1e-6) {
			t.Errorf("%+v: ω = %.12g, integrated %.12g", w, r.Omega, want)
		}
		// The energies are of that mode: each element, a little more and less of it, moves ω by its share.
		moved := func(change func(w *Winding, by float64)) float64 {
			var at [2]float64
			for i, by := range []float64{1e-4, -1e-4} {
				v := w
				v.Cores = []Stretch{w.Cores[0]}
				change(&v, by)
				var r Resonance
				(&Line{}).Resonate(v, &r)
				at[i] = math.Log(r.Omega)
			}
			return (at[0] - at[1]) / 2e-4
		}
		for what, c := range map[string][2]float64{
			"top":     {r.PerTop * w.Top, moved(func(w *Winding, by float64) { w.Top *= 1 + by })},
			"winding": {r.PerWinding * w.Capacitance, moved(func(w *Winding, by float64) { w.Capacitance *= 1 + by })},
			"gain":    {r.Cores[0].PerGain, moved(func(w *Winding, by float64) { w.Cores[0].Gain *= 1 + by })},
			"core":    {r.Cores[0].PerCapacitance * w.Cores[0].Capacitance, moved(func(w *Winding, by float64) { w.Cores[0].Capacitance *= 1 + by })},
		} {
			if !(math.Abs(c[0]-c[1]) <= 2e-6) {
				t.Errorf("%+v: by the %s %v, want %v", w, what, c[0], c[1])
			}
		}
		if l, c := line.cut(w); !line.settles(line.guess(w.Top/c), w.Top/c, want*math.Sqrt(l*c)) {
			fallen++
		}
	}
	if fallen == 0 {
		t.Error("none would have fallen onto a higher mode: no test")
	}
	t.Logf("%d of 150 would have fallen onto a higher mode or come to no end", fallen)
}

// settles tells whether Rayleigh's quotient alone leads from guess to want.
func (line *Line) settles(guess, top, want float64) bool {
	for range 60 {
		_, electric, magnetic := line.sweep(guess, top)
		guess *= math.Sqrt(magnetic / electric)
	}
	return math.Abs(guess/want-1) < 1e-6
}

func TestEnergySharesAgainstCentralDifferences(t *testing.T) {
	var line Line
	for n, w := range corered {
		elements := map[string]func(*Winding) *float64{
			"inductance": func(w *Winding) *float64 { return &w.Inductance },
			"winding":    func(w *Winding) *float64 { return &w.Capacitance },
			"top":        func(w *Winding) *float64 { return &w.Top },
		}
		var r Resonance
		line.Resonate(w, &r)
		share := map[string]float64{"inductance": -0.5, "winding": r.PerWinding * w.Capacitance, "top": r.PerTop * w.Top}
		for k, s := range w.Cores {
			gain, extra := fmt.Sprint("gain ", k), fmt.Sprint("core capacitance ", k)
			elements[gain] = func(w *Winding) *float64 { return &w.Cores[k].Gain }
			elements[extra] = func(w *Winding) *float64 { return &w.Cores[k].Capacitance }
			share[gain] = r.Cores[k].PerGain
			share[extra] = r.Cores[k].PerCapacitance * s.Capacitance
		}
		for name, at := range elements {
			omega := func(factor float64) float64 {
				c := w
				c.Cores = append([]Stretch(nil), w.Cores...)
				*at(&c) *= factor
				var r Resonance
				line.Resonate(c, &r)
				return r.Omega
			}
			const h = 1e-4 // truncation ~ h², rounding ~ 1e-16/h
			want := (8*(math.Log(omega(1+h))-math.Log(omega(1-h))) - math.Log(omega(1+2*h)) + math.Log(omega(1-2*h))) / (12 * h)
			if !(math.Abs(share[name]-want) <= 1e-6*math.Abs(want)+1e-12) {
				t.Errorf("winding %d, %s: share %.10g, central difference %.10g", n, name, share[name], want)
			}
		}
	}
}

func TestCoreLimitsAreContinuous(t *testing.T) {
	at := func(from, to, gain, extra float64) float64 {
		var line Line
		var r Resonance
		line.Resonate(Winding{1e-3, 6e-12, 1e-12, []Stretch{{from, to, gain, extra, ""}}}, &r)
		return r.Omega
	}
	bare := at(0, 0, 3, 0)
	full := at(0, 1, 3, 0)
	if want := bare / math.Sqrt(3); !(math.Abs(full/want-1) <= 1e-13) {
		t.Errorf("full coverage: %v, want bare/√3 = %v", full, want)
	}
	const e = 1e-9
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"covered → 0", at(0, e, 3, 0), bare},
		{"covered → 1", at(0, 1-e, 3, 0), full},
		{"covered from above → 1", at(e, 1, 3, 0), full},
		{"gain → 1", at(0, 0.5, 1+e, 0), bare},
		{"added capacitance → 0", at(0, 0.5, 1, e*1e-12), bare},
	} {
		if !(math.Abs(c.got/c.want-1) <= 3*e) {
			t.Errorf("%s: %v, limit %v", c.name, c.got, c.want)
		}
	}
}

func BenchmarkResonate(b *testing.B) {
	var line Line
	var r Resonance
	w := Winding{1e-3, 6e-12, 1e-12, nil}
	for b.Loop() {
		line.Resonate(w, &r)
	}
}
