package ringing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Rows that are means of four samples, and rows four times as far apart, say the same of frequencies, dampings and times: only the rows'
// spacing counts.
func TestRowsOfSeveralSamples(t *testing.T) {
	const n, omega, alpha = 3000, 0.05, 3e-4
	y := noise(rand.New(rand.NewPCG(5, 4)), n, 1e-2)
	decaying(y, 0, 1, 4*omega, 4*alpha)
	decaying(y, 0, 0.1, 4*0.13, 0)
	said := func(block int) []float64 {
		s := &series{block: block, sampling: 4 / float64(block), re: y}
		p := project(s, []tone{{omega, alpha}})
		if !p.atStart() {
			t.Fatal("no fit")
		}
		white := &ring{stretch: stretch{0, n * block}, fit: p}
		peak, found := white.nextPeak(nil)
		second, _ := white.nextPeak([]float64{peak})
		p.residual = append(noise(rand.New(rand.NewPCG(5, 5)), 1000, 2), p.residual[1000:]...) // loud at the beginning
		r := &ring{stretch: stretch{0, n * block}, fit: p, rms: 1}
		r.settleColour()
		loud := (&analysis{}).excess(r, r.stretch)
		h, ok := r.halves()
		best, _ := s.startDamping(omega)
		if !found || !ok {
			t.Fatalf("another tone %v, halves %v", found, ok)
		}
		return []float64{s.spacing(), s.length(), r.cycles(), loud, peak, float64(h.mid) / float64(block), h.start.omega, h.end.alpha, s.startFrequency(1.1*omega, 0.02), best.alpha,
			s.beats(tone{omega, alpha}, tone{0.13, 0}), float64(len(s.coarse(omega).re)), s.coarse(omega).spacing(), r.noise().AtTone, second}
	}
	want := said(1)
	for i, got := range said(4) {
		near.Times(t, fmt.Sprintf("number %d", i), got, want[i], 3e-3)
	}
	// Worked out by hand: spacing, length, 1.2 time constants of 833 rows before the cut, a peak at 0.13 rad/s, beats in three time constants
	// of 3333 s, and eight rows of a cycle of 31.4.
	for i, x := range map[int]float64{0: 4, 1: 4 * n, 5: 1000, 10: (0.13 - omega) * 3 / alpha / (2 * math.Pi), 11: n / 3, 12: 12} {
		near.Times(t, fmt.Sprintf("number %d by hand", i), want[i], x, 1e-3)
	}
	near.To(t, "the other tone", want[4], 0.13, 1e-3)
}

// Nothing hangs on the unit of time: samples a thousand times as far apart ring a thousand times as slowly.
func TestHangsOnNoUnitOfTime(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 4))
	y := noise(rng, 2000, 1e-3)
	decaying(y, 300, 1, 0.6, 1e-2)
	decaying(y, 300, 0.3, 0.66, 8e-3)
	decaying(y, 1200, 0.6, 0.6, 1e-2)
	const unit = 1e-8
	fast := must.Get(Analyse(Signal{Start: -300 * unit, Interval: unit, IntervalUncertainty: 1e-5 * unit, Samples: y}, Settings{Timebase: 1e-5})).In(t)
	slow := must.Get(Analyse(Signal{Start: -300e3 * unit, Interval: 1e3 * unit, IntervalUncertainty: 1e-2 * unit, Samples: y}, Settings{Timebase: 1e-5})).In(t)
	flat := func(r *Result, k float64) (list []float64) { // k: the unit of time
		tone := func(o *Tone) {
			list = append(list, o.Frequency.Value*k, o.Frequency.Uncertainty*k, o.Natural.Value*k, o.Natural.Interval[1]*k, o.Damping.Value*k, o.Damping.Uncertainty*k,
				o.Quality.Value, o.Quality.Uncertainty, o.Amplitude.Value, o.Amplitude.Uncertainty, float64(o.Relation), float64(o.Harmonic))
		}
		list = append(list, float64(len(r.Tones)), float64(len(r.Bursts)), float64(len(r.Notes)), float64(len(r.Left)), float64(r.Kind), r.Used, r.SamplesPerCycle, r.Noise.RMS, r.Noise.AtTone, r.Offset.Value)
		list = append(list, r.Resonance.Value*k, r.Resonance.Uncertainty*k, r.Quality.Value, r.Quality.Uncertainty, r.Damping.Value*k)
		r.eachTone(tone)
		for _, b := range r.Bursts {
			list = append(list, b.Start/k, b.End/k, b.Cycles, b.Skipped)
		}
		for _, l := range r.Left {
			list = append(list, l.Start/k, l.End/k, float64(l.Why))
		}
		for _, n := range r.Notes {
			list = append(list, float64(n.Kind))
		}
		d := r.Drawing
		return append(list, d.Whole.Trace.Time[0]/k, d.Detail.Trace.Time[0]/k, d.Detail.Trace.Time[len(d.Detail.Trace.Time)-1]/k, d.Spectrum.Frequency[300]*k, d.Spectrum.Trace[300])
	}
	want, got := flat(fast, unit), flat(slow, 1e3*unit)
	if len(got) != len(want) || fast.Kind != Decay || len(fast.Bursts) != 2 || len(fast.Tones) < 2 {
		t.Fatalf("%d numbers of %d: %+v", len(got), len(want), fast)
	}
	for i := range want {
		near.To(t, fmt.Sprintf("number %d", i), got[i], want[i], 1e-4*math.Abs(want[i])+1e-9)
	}
}

// In a capture with gaps each half leaves out the rows of its own gaps: what stands in them changes neither half.
func TestHalvesWithGaps(t *testing.T) {
	const n, omega, alpha = 4000, 0.3, 1e-3 // cut at 1200
	gap := func(i int) bool { return i >= 100 && i < 130 || i >= 1500 && i < 1580 || i >= 2000 && i < 2030 }
	y := noise(rand.New(rand.NewPCG(3, 1)), n, 1e-4)
	decaying(y, 0, 1, omega, alpha)
	made := func(inGaps float64) halves {
		x := slices.Clone(y)
		for i := range x {
			if gap(i) {
				x[i] = inGaps
			}
		}
		r := &ring{stretch: stretch{0, n}, fit: average(x, 1, 0, 1, gap).solve([]tone{{omega, alpha}})}
		must.Do(t, r.settle())
		h, ok := r.halves()
		if !ok {
			t.Fatal("no halves")
		}
		return h
	}
	h, other := made(0), made(5)
	if h != other {
		t.Errorf("what stands in the gaps changes the halves: %+v, %+v", h, other)
	}
	if h.moved() || h.z == 0 {
		t.Errorf("%v standard uncertainties", h.z)
	}
	near.To(t, "cut", float64(h.mid), 1200, 2)
	for what, half := range map[string]tone{"start": h.start, "end": h.end} {
		near.Times(t, "ω of the "+what, half.omega, omega, 2e-5)
		near.Times(t, "α of the "+what, half.alpha, alpha, 5e-3)
	}
}
