package ringing

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/quantities"
)

// All that one clean ring tells, against what it was made of; volts and seconds only scale it, and what is known of the
// time axis widens frequencies and dampings alone.
func TestAllThatARingTells(t *testing.T) {
	const f0, q, sigma, offset, interval = 1.5e6, 40.0, 0.004, 0.3, 2e-8
	ring := natural(1, f0, q, 0.7)
	c := invented{n: 2500, interval: interval, sigma: sigma, offset: offset, pretrig: 300, timeStart: -300 * interval, tones: []sine{ring}}
	s := c.signal(rand.New(rand.NewPCG(6, 6)))
	r := must.Get(Analyse(s, Settings{})).In(t)
	if r.Kind != Decay || len(r.Tones) != 1 || len(r.Bursts) != 1 || len(r.Modes) != 1 || r.Found != 1 || len(r.Notes) > 0 || r.Unclaimed || len(r.Covariance) != 2 {
		t.Fatalf("%+v", r)
	}
	b := r.Bursts[0]
	for what, e := range map[string]struct {
		got  quantities.Estimate
		want float64
	}{
		"resonance": {r.Resonance, f0}, "frequency": {r.Frequency, ring.frequency}, "Q": {r.Quality, q}, "damping": {r.Damping, ring.alpha}, "offset": {r.Offset, offset},
		"amplitude": {r.Amplitude, math.Exp(-ring.alpha * b.Start)},
	} {
		if k := math.Abs(e.got.Value-e.want) / e.got.Uncertainty; !e.got.Determined || !(k < 3.5) || !(e.got.Uncertainty < 0.02*e.want) || !(e.got.Interval[0] < e.got.Value && e.got.Value < e.got.Interval[1]) {
			t.Errorf("%s: %+v, made as %v", what, e.got, e.want)
		}
	}
	tone := r.Tones[0]
	if !reflect.DeepEqual(b.Tone, tone) || !reflect.DeepEqual(r.Modes[0], tone) || tone.Amplitude != r.Amplitude || tone.Frequency != r.Frequency || tone.Natural != r.Resonance || tone.Damping != r.Damping || tone.Quality != r.Quality ||
		tone.QualityAtLeast != r.QualityAtLeast || tone.Relation != Strongest || b.Apart || b.Skipped != 0 {
		t.Errorf("tone %+v\nburst %+v\nof %+v", tone, b, r)
	}
	near.Times(t, "Q at least", r.QualityAtLeast, q, 0.02)
	if r.QualityAtLeast > r.Quality.Value {
		t.Errorf("Q at least %v of %v", r.QualityAtLeast, r.Quality.Value)
	}
	near.Times(t, "samples a cycle", r.SamplesPerCycle, 1/(r.Frequency.Value*interval), 1e-12)
	near.Times(t, "noise", r.Noise.RMS, sigma, 0.06)
	near.Times(t, "noise at the tone", r.Noise.AtTone, 1, 0.3)
	near.To(t, "start", b.Start, 0, 1/f0)
	near.Times(t, "used", r.Used*float64(c.n)*interval, b.End-b.Start, 0.02)
	near.Times(t, "variance of the frequency", math.Sqrt(r.Covariance[0][0]), r.Resonance.Uncertainty, 1e-9)
	near.Times(t, "variance of Q", math.Sqrt(r.Covariance[1][1]), r.Quality.Uncertainty, 1e-9)
	if want := []Left{{s.Start, b.Start, BeforeRing}}; !reflect.DeepEqual(r.Left, want) {
		t.Errorf("left %+v, want %+v", r.Left, want)
	}
	near.To(t, "end", b.End, s.Start+float64(c.n)*interval, interval)
	// A thousand times the volts, a tenth of the rate, an hour later.
	scaled := Signal{Start: 3600, Interval: 10 * interval, Samples: make([]float64, c.n)}
	for i, y := range s.Samples {
		scaled.Samples[i] = 1024 * y
	}
	x := must.Get(Analyse(scaled, Settings{})).In(t)
	for what, ratio := range map[string]float64{
		"amplitude": x.Amplitude.Value / r.Amplitude.Value / 1024, "offset": x.Offset.Value / r.Offset.Value / 1024, "noise": x.Noise.RMS / r.Noise.RMS / 1024, "resonance": x.Resonance.Value / r.Resonance.Value * 10,
		"u of it": x.Resonance.Uncertainty / r.Resonance.Uncertainty * 10, "frequency": x.Frequency.Value / r.Frequency.Value * 10, "damping": x.Damping.Value / r.Damping.Value * 10, "Q": x.Quality.Value / r.Quality.Value,
		"u of Q": x.Quality.Uncertainty / r.Quality.Uncertainty, "samples": x.SamplesPerCycle / r.SamplesPerCycle, "cycles": x.Bursts[0].Cycles / b.Cycles, "length": (x.Bursts[0].End - x.Bursts[0].Start) / (b.End - b.Start) / 10,
	} {
		near.Times(t, what+" scaled", ratio, 1, 1e-6)
	}
	// 3 and 4 hundredths of a per cent make 5.
	s.IntervalUncertainty = 3e-4 * interval
	wide := must.Get(Analyse(s, Settings{Timebase: 4e-4})).In(t)
	for what, pair := range map[string][2]quantities.Estimate{"resonance": {wide.Resonance, r.Resonance}, "frequency": {wide.Frequency, r.Frequency}, "damping": {wide.Damping, r.Damping},
		"tone": {wide.Tones[0].Natural, tone.Natural}, "burst": {wide.Bursts[0].Tone.Frequency, tone.Frequency}, "mode": {wide.Modes[0].Natural, tone.Natural}} {
		near.Times(t, "u of the "+what, pair[0].Uncertainty, math.Hypot(pair[1].Uncertainty, 5e-4*pair[1].Value), 1e-6)
	}
	near.Times(t, "covariance", math.Sqrt(wide.Covariance[0][0]), wide.Resonance.Uncertainty, 1e-6)
	if wide.Quality != r.Quality || wide.Amplitude != r.Amplitude || wide.Offset != r.Offset {
		t.Errorf("%+v, %+v", wide.Quality, wide.Amplitude)
	}
}

// Nothing has an uncertainty where a note tells that far more than one sine is left, be it the first or the last; without
// it all keep theirs.
func TestWhatIsDisclaimed(t *testing.T) {
	for _, c := range []struct {
		notes []Note
		want  bool
	}{
		{nil, false}, {[]Note{{Kind: Driven}}, false}, {[]Note{{NotOneSine, [4]float64{1.01 * NoUncertainty}}}, true}, {[]Note{{NotOneSine, [4]float64{0.99 * NoUncertainty}}}, false},
		{[]Note{{NotOneSine, [4]float64{1.01 * NoUncertainty}}, {Kind: Driven}}, true}, {[]Note{{Kind: Driven}, {NotOneSine, [4]float64{1.01 * NoUncertainty}}}, true}, {[]Note{{Coloured, [4]float64{1e3}}}, false},
	} {
		tones := func() []Tone { return []Tone{{QualityAtLeast: 3}, {QualityAtLeast: 4}} }
		r := &Result{Notes: c.notes, Tones: tones(), Modes: tones(), Bursts: []Burst{{Tone: tones()[0]}, {Tone: tones()[1]}}, QualityAtLeast: 5, Covariance: Covariance{{1}}}
		r.disclaim()
		all := []quantities.Estimate{r.Resonance, r.Frequency, r.Quality, r.Damping, r.Amplitude, r.Offset}
		for _, x := range []Tone{r.Tones[0], r.Tones[1], r.Modes[0], r.Modes[1], r.Bursts[0].Tone, r.Bursts[1].Tone} {
			all = append(all, x.Frequency, x.Natural, x.Damping, x.Quality, x.Amplitude)
			if (x.QualityAtLeast == 0) != c.want {
				t.Errorf("%v: Q at least %v", c.notes, x.QualityAtLeast)
			}
		}
		for i, e := range all {
			if e.Unclaimed != c.want {
				t.Errorf("%v: estimate %d is unclaimed: %v", c.notes, i, e.Unclaimed)
			}
		}
		if r.Unclaimed != c.want || (r.QualityAtLeast == 0) != c.want || (r.Covariance == nil) != c.want {
			t.Errorf("%v: %+v", c.notes, r)
		}
	}
}
