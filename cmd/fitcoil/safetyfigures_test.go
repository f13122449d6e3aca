package main

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// effects are what predict tells beside the frequency.
type effects struct {
	Effects []struct {
		told
		Ratio told `json:"ratio_to_bare"`
	}
}

func (e effects) find(t *testing.T, name string) (value, ratio float64) {
	t.Helper()
	for _, x := range e.Effects {
		if x.Name == name && x.Ratio.Value != nil {
			if x.Value == nil {
				return math.NaN(), *x.Ratio.Value
			}
			return *x.Value, *x.Ratio.Value
		}
	}
	t.Fatalf("no %s", name)
	return 0, 0
}

// exactLog writes readings of a coil whose resonance omega gives for the capacitance
// added, in farads, without noise.
func exactLog(omega func(added float64) float64) string {
	var b strings.Builder
	b.WriteString("frequency [Hz],frequency ± [ppm],added [pF],added ± [%]\n")
	for _, pF := range []float64{0, 1, 2.2, 4.7, 10, 22, 47, 100} {
		fmt.Fprintf(&b, "%.6f,1,%g,0.0001\n", omega(pF*1e-12)/(2*math.Pi), pF)
	}
	return b.String()
}

var exactly = []string{"--known", "lead=0±0.0001pF", "--known", "drift=0±0.01ppm"}

// What a kilovolt at the top of a lumped circuit means, worked out by hand: with 1 mH and
// 10 pF Z = √(L/C) = 10 kΩ, the current V/Z = 100 mA, and the energy ½CV² = 5 µJ (handbook
// formulas of the tuned circuit: F. E. Terman, Radio Engineers' Handbook, 1943, section 3).
// With 30 pF added Z halves, and C is four times as much.
func TestSafetyFiguresOfATunedCircuit(t *testing.T) {
	log := exactLog(func(added float64) float64 { return 1 / math.Sqrt(1e-3*(10e-12+added)) })
	for _, c := range []struct {
		state                string
		energy, current, ohm float64
		ratio                float64 // of the energy
	}{{"bare", 5e-6, 0.1, 10e3, 1}, {"added=30pF", 20e-6, 0.2, 5e3, 4}} {
		e := answered[effects](t, log, append([]string{"predict", "-", c.state, "--lumped"}, exactly...)...)
		energy, ratio := e.find(t, "energy_at_1_kV")
		current, more := e.find(t, "base_current_at_1_kV")
		impedance, _ := e.find(t, "characteristic_impedance")
		_, voltage := e.find(t, "top_voltage_at_equal_energy")
		for what, pair := range map[string][2]float64{
			"energy": {energy, c.energy}, "its ratio": {ratio, c.ratio}, "current": {current, c.current},
			"its ratio to bare": {more, math.Sqrt(c.ratio)}, "impedance": {impedance, c.ohm}, "voltage at equal energy": {voltage, 1 / math.Sqrt(c.ratio)},
		} {
			if !(math.Abs(pair[0]/pair[1]-1) < 2e-4) {
				t.Errorf("%s: %s %v, want %v", c.state, what, pair[0], pair[1])
			}
		}
	}
}

// The same of a uniform line, its foot shorted and a capacitor at its end, from what stands
// along it: the voltage goes as sin θx, the current as cos θx, so that a kilovolt at the
// top means V/(Z₀ sin θ) at the foot, Z₀ = √(L/C), and ½V²(C ∫ sin²θx/sin²θ dx + Ct) of
// energy (S. Ramo, J. R. Whinnery and T. Van Duzer, Fields and Waves in Communication
// Electronics, 3rd ed., 1994, chapter 5).
func TestSafetyFiguresOfALine(t *testing.T) {
	const l, c, top = 1e-3, 8e-12, 2e-12
	angle := func(added float64) float64 { // cot θ = θ (Ct + added)/C, by bisection
		low, high := 0.0, math.Pi/2
		for range 60 {
			if theta := (low + high) / 2; math.Cos(theta) > theta*math.Sin(theta)*(top+added)/c {
				low = theta
			} else {
				high = theta
			}
		}
		return low
	}
	log := exactLog(func(added float64) float64 { return angle(added) / math.Sqrt(l*c) })
	for _, added := range []float64{0, 15e-12} {
		theta, along := angle(added), 0.0
		const steps = 1000
		for i := range steps {
			s := math.Sin(theta*(float64(i)+0.5)/steps) / math.Sin(theta)
			along += s * s / steps
		}
		energy, current := 0.5*1e6*(c*along+top+added), 1e3/(math.Sqrt(l/c)*math.Sin(theta))
		state := "bare"
		if added > 0 {
			state = fmt.Sprintf("added=%gpF", added*1e12)
		}
		e := answered[effects](t, log, append([]string{"predict", "-", state}, exactly...)...)
		if got, _ := e.find(t, "energy_at_1_kV"); !(math.Abs(got/energy-1) < 1e-3) {
			t.Errorf("%s: energy %v J, want %v", state, got, energy)
		}
		if got, _ := e.find(t, "base_current_at_1_kV"); !(math.Abs(got/current-1) < 1e-3) {
			t.Errorf("%s: current %v A, want %v", state, got, current)
		}
	}
}
