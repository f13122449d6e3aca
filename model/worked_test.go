package model

import (
	"math"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// plainLog makes a log of exact capacitors and frequencies.
func plainLog(pairs ...[2]float64) (log readings.Log) {
	for i, p := range pairs {
		s := readings.Bare()
		if c := p[1]; c > 0 {
			log.Parts = append(log.Parts, readings.Part{Capacitance: c, Known: true})
			s.Parts = []int{len(log.Parts) - 1}
		}
		log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Frequency: p[0], Uncertainty: 1e-6 * p[0], Use: true})
	}
	return log
}

// Two readings by the method of added capacitance, which takes the lumped circuit for
// granted: 1/f² = 4π² L (C + Cd), so Cd = (C₁ − n²C₂)/(n² − 1) with f₂ = n·f₁. The examples
// of a book, with the capacitances that it gives to three digits and the rest worked out by
// the formula; and others worked out by it throughout.
func TestAddedCapacitanceWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		source     string
		a, b       [2]float64 // Hz, F
		own, l, f0 float64    // F, H, Hz; 0: not given
	}{
		{"W. D. Cooper and A. D. Helfrick, Electronic Instrumentation and Measurement Techniques, 3rd ed., 1985, Q meter (from memory): 20 pF",
			[2]float64{2e6, 460e-12}, [2]float64{4e6, 100e-12}, 20e-12, 13.192862e-6, 9.797959e6},
		{"computed: a lower frequency with more",
			[2]float64{2e6, 18e-12}, [2]float64{1e6, 81e-12}, 3e-12, 301.551e-6, 5.291503e6},
		{"computed: one capacitor and the coil alone",
			[2]float64{600e3, 100e-12}, [2]float64{2e6, 0}, 9.890110e-12, 0, 2e6},
		{"the same chapter (from memory): 14.3 pF",
			[2]float64{2e6, 450e-12}, [2]float64{5e6, 60e-12}, 14.285714e-12, 13.639390e-6, 0},
	} {
		r := mustFit(t, idealBench(estimation.Session{Log: plainLog(c.a, c.b), Lumped: true}))
		for _, q := range []struct {
			name string
			want float64
		}{{quantities.TopCapacitance, c.own}, {quantities.Inductance, c.l}, {quantities.BareFrequency, c.f0}} {
			e := r.Find(quantities.Key{Name: q.name})
			if q.want > 0 && math.Abs(e.Value/q.want-1) > 2e-6 {
				t.Errorf("%s: %s = %.8g, want %.8g", c.source, q.name, e.Value, q.want)
			}
		}
		if r.Quality.DegreesOfFreedom != 0 || !math.IsNaN(r.Quality.PValue) {
			t.Errorf("%s: two readings, two unknowns, but %+v", c.source, r.Quality)
		}
		// dCd/dC1 and dCd/dC2 of the two-point formula, here through the
		// uncertainty of the frequencies: u(n²)/n² = 2√2·10⁻⁶.
		n2 := math.Pow(c.b[0]/c.a[0], 2)
		want := math.Abs(c.a[1]-c.b[1]) * n2 / math.Pow(n2-1, 2) * 2 * math.Sqrt2 * 1e-6
		if e := r.Find(quantities.Key{Name: quantities.TopCapacitance}); !(math.Abs(e.Uncertainty/want-1) <= 1e-3) {
			t.Errorf("%s: u(Cd) = %v, want %v", c.source, e.Uncertainty, want)
		}
	}
}

// Exact line frequencies fitted with the straight line 1/f² against C give a
// biased answer: the figures are computed with independent root finding, from
// an unweighted fit. The lumped resonator is that straight line, and must be
// biased alike (its weights differ: relative frequencies, so only the smallest
// set, nearly evenly weighted, compares); the line must not.
func TestLumpedIsBiasedWhereTheLineIsNot(t *testing.T) {
	const l, cd = 1e-3, 1e-11
	var line resonator.Line
	var r resonator.Resonance
	read := func(ratios ...float64) readings.Log {
		var pairs [][2]float64
		for _, x := range ratios {
			line.Resonate(resonator.Winding{Inductance: l, Capacitance: cd, Top: x * cd}, &r)
			pairs = append(pairs, [2]float64{r.Omega / 2 / math.Pi, x * cd})
		}
		return plainLog(pairs...)
	}
	for _, c := range []struct {
		ratios   []float64
		lumped   float64 // L_fit/L, unweighted
		tolerant float64
	}{{[]float64{0, 0.1, 0.2}, 0.8702, 0.005}, {[]float64{0, 0.5, 1}, 0.9458, 0.02}, {[]float64{1, 2, 5}, 0.9970, 0.003}} {
		log := read(c.ratios...)
		got := mustFit(t, idealBench(estimation.Session{Log: log, Lumped: true})).Find(quantities.Key{Name: quantities.Inductance}).Value / l
		if !(math.Abs(got-c.lumped) <= c.tolerant) {
			t.Errorf("%v: lumped L/L = %.4f, straight line %.4f", c.ratios, got, c.lumped)
		}
		e := mustFit(t, idealBench(estimation.Session{Log: log})).Find(quantities.Key{Name: quantities.Inductance})
		if !(math.Abs(e.Value/l-1) <= 1e-4) {
			t.Errorf("%v: line L/L = %.6f ± %.2g", c.ratios, e.Value/l, e.Uncertainty/l)
		}
	}
}
