package resonator

import (
	"math"
	"testing"
)

// The closed forms against the chain, which finds the same frequency by Rayleigh's
// quotient and, swept at that, the energies by integrals along the winding: bare,
// covered, and from no top load to nothing but top load.
func TestUniformLineAgainstChain(t *testing.T) {
	var line Line
	for _, ratio := range []float64{0, 1e-18, 1e-9, 1e-3, 0.03, 0.1, 0.2, 0.5, 0.9, 1, 1.7, 3, 7, 20, 90, 99, 101, 300, 1e4, 1e8, 1e12, 1e17, math.Inf(1)} {
		for _, cores := range [][]Stretch{nil, {{0, 1, 2.5, 0.4e-12, ""}}, {{0, 1, 0.7, 0, ""}}} {
			w := Winding{Inductance: 1.3e-3, Capacitance: 6e-12, Top: ratio * 6e-12, Cores: cores}
			if math.IsInf(ratio, 1) {
				w.Capacitance, w.Top = 0, 3e-12
			}
			var got, want Resonance
			line.Resonate(w, &got)
			want.reserve(len(cores))
			line.chain(w, &want)
			l, c := line.cut(w)
			omega := want.Omega * math.Sqrt(l*c)
			v, electric, magnetic := line.sweep(omega, w.Top/c)
			line.report(&want, omega, l, c, v, electric, magnetic)
			check := func(name string, got, want float64) {
				if !(math.Abs(got/want-1) <= 1e-12) {
					t.Errorf("top %v of the winding, cores %v: %s = %.16g, chain %.16g", ratio, cores, name, got, want)
				}
			}
			check("ω", got.Omega, want.Omega)
			check("effective capacitance", got.Capacitance, want.Capacitance)
			check("base current", got.BaseCurrent, want.BaseCurrent)
			check("share of the top", got.PerTop, want.PerTop)
			check("share of the winding", got.PerWinding, want.PerWinding)
			for i := range cores {
				check("share of the gain", got.Cores[i].PerGain, want.Cores[i].PerGain)
				check("share of the core's capacitance", got.Cores[i].PerCapacitance, want.Cores[i].PerCapacitance)
			}
		}
	}
}

// From a guess to 3e-6 one step of Halley's rule gives all digits.
func TestUniformGuess(t *testing.T) {
	for k := range 2001 {
		share := float64(k) / 2000
		var r Resonance
		r.uniform(1, 1-share, share)
		if got := uniformGuess(share); !(math.Abs(got/r.Omega-1) < 3e-6) {
			t.Errorf("share %v at the top: Ω = %.9f guessed, %.9f found", share, got, r.Omega)
		}
	}
}

func TestSlopeOfUniformGuess(t *testing.T) {
	for _, share := range []float64{0.001, 0.13, 0.3, 0.7, 0.999} {
		const h = 1e-5
		_, slope := GuessSquare(share)
		up, _ := GuessSquare(share + h)
		down, _ := GuessSquare(share - h)
		if want := math.Log(up/down) / (2 * h); !(math.Abs(slope-want) <= 1e-8) {
			t.Errorf("share %v: slope %v, differences %v", share, slope, want)
		}
	}
}
