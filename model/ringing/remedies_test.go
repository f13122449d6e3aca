package ringing

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// Each reason for too few cycles comes with remedies of its own: a capture of
// each (invented), refused for that reason, is taken again as each of its
// remedies says, and then answered.
func TestRemediesHelp(t *testing.T) {
	coil := func(q float64) sine { return natural(1, 1.5e6, q, 0.3) }
	louder := func(s sine, by float64) sine { s.amplitude *= by; return s }
	on := func(c invented, slow func(x float64) float64) Signal {
		s := c.signal(rand.New(rand.NewPCG(5, 5)))
		for i := range s.Samples {
			s.Samples[i] += slow(float64(i) * c.interval)
		}
		return s
	}
	level := func(float64) float64 { return 0 }
	// A step that the probe's coupling passes on, the ring small on it.
	step := func(at float64) func(float64) float64 {
		return func(x float64) float64 {
			if x < at {
				return 0
			}
			return 1
		}
	}
	tone := invented{n: 1600, interval: 1e-9, sigma: 0.005, step: 0.01, tones: []sine{{1, 1.5e6, 0, 0.3}}}
	shorter, slower := tone, tone
	shorter.n, slower.interval = 1320, 5e-9
	damped := invented{n: 2000, interval: coilInterval, sigma: 0.02, step: 0.01, pretrig: 400, tones: []sine{coil(1.8)}}
	freed := damped
	freed.tones = []sine{coil(8)}
	crowded := invented{n: 2000, interval: 300e-9, sigma: 0.005, step: 0.01, pretrig: 900, tones: []sine{coil(6)}}
	resolved := crowded
	resolved.interval, resolved.pretrig = 4e-9, 100
	ringing := invented{n: 2000, interval: 200e-9, sigma: 0.002, step: 0.04, pretrig: 1000, tones: []sine{louder(coil(8), 0.05)}}
	behind := ringing
	behind.interval, behind.step, behind.pretrig = 5e-9, 0.001, 0
	for _, c := range []struct {
		name   string
		before Signal
		short  Short
		after  map[string]Signal
		want   float64
	}{
		{"the record ends", on(tone, level), RecordEnds, map[string]Signal{"slower time base": on(slower, level)}, 1.5e6},
		{"a slow tone", on(shorter, level), Slow, map[string]Signal{"slower time base": on(slower, level)}, 1.5e6},
		{"the ring is over", on(damped, level), Over, map[string]Signal{"less damping": on(freed, level)}, 1.5e6},
		{"the ring is crowded", on(crowded, level), Over, map[string]Signal{"faster time base": on(resolved, level)}, 1.5e6},
		{"a step", on(ringing, step(200e-6)), Slow, map[string]Signal{"faster time base, fewer volts, behind the step": on(behind, step(0))}, 1.5e6},
	} {
		_, err := Analyse(c.before, Settings{Columns: 1})
		var r *Refusal
		if !errors.As(err, &r) || r.Reason != TooFewCycles || r.Short != c.short {
			t.Errorf("%s: %v, want too few cycles for reason %d", c.name, err, c.short)
		}
		for remedy, s := range c.after {
			r, err := Analyse(s, Settings{Columns: 1})
			if err != nil {
				t.Errorf("%s, %s: %v", c.name, remedy, err)
				continue
			}
			t.Logf("%s, %s: %.5g ± %.2g Hz, %v", c.name, remedy, r.Resonance.Value, r.Resonance.Uncertainty, r.Notes)
			within(t, c.name+", "+remedy, r.Resonance, c.want, 4)
		}
	}
}
