package ringing

import "math"

// relate names what each further tone is to the first.
func (a *analysis) relate(tones []Tone) {
	main := tones[0].Frequency
	rate := 1 / a.signal.Interval
	for i := range tones[1:] {
		t := &tones[i+1]
		if t.Relation == Steadily {
			continue
		}
		f := t.Frequency
		t.Relation = Other
		if math.Abs(f.Value-main.Value) < nearTone*main.Value {
			t.Relation = Near
		}
		const most = 15 // a plain choice: one beyond is told as a tone of its own
		for n := 2; n <= most; n++ {
			whole := float64(n) * main.Value
			seen := math.Abs(whole - rate*math.Round(whole/rate))
			// A short-lived harmonic may be pulled by what else is in the
			// residuals, hence a part in a thousand.
			near := math.Hypot(3*f.Uncertainty, 3*float64(n)*main.Uncertainty) + 1e-3*f.Value
			if math.Abs(f.Value-seen) < near {
				t.Relation, t.Harmonic = Harmonic, n
				if whole > rate/2 {
					t.Relation = Folded
				}
				break
			}
		}
	}
}

// Limits beyond which a note is made: plain choices, of the notes alone, but for notOneSine.
const (
	fewPerCycle   = 4.0  // samples
	strongBeat    = 0.03 // amplitude ratio
	noticeable    = 2.0  // density of the noise at the tone
	fewSteps      = 8.0  // amplitude in steps of the converter
	birgeToTell   = 1.5  // with 1 a good capture of 37 is said to have bursts that differ
	skippedToTell = 1.0  // cycles left out at the beginning
	notOneSine    = 1.3  // residual where the ring is loud over that where it isn't; 1.15 and 1.6 change nothing
	intervalTells = 0.5  // share of the frequency's uncertainty
)

// noteList collects notes.
type noteList []Note

func (l *noteList) add(kind NoteKind, values ...float64) {
	n := Note{Kind: kind}
	copy(n.Values[:], values)
	*l = append(*l, n)
}

func (a *analysis) notes(r *Result, rings []*ring, loudest *ring, scale float64) []Note {
	var list noteList
	list.tones(r, loudest)
	if r.SamplesPerCycle < fewPerCycle {
		list.add(MayBeAliased, r.SamplesPerCycle, 1/a.signal.Interval-r.Frequency.Value)
	}
	if r.Kind == Steady {
		list.add(Driven)
	}
	list.rings(r, rings)
	if steps := r.Amplitude.Value / a.scan.step; a.scan.step > 0 && steps < fewSteps {
		list.add(FewSteps, steps)
	}
	if s := loudest.fit.series; s.drifts != still {
		list.add(Drifting, loudest.fit.drift())
	}
	t, w := loudest.whole().fit.tones[0], loudest.whole()
	if growth := math.Exp(-t.alpha * float64(w.len()) * a.signal.Interval); growth > 1+10*leastFall &&
		-t.alpha > 3*math.Sqrt(w.cov[1][1]) {
		list.add(Growing, growth)
	}
	if scale > birgeToTell {
		list.add(BurstsDiffer, scale)
	}
	if rel := a.signal.IntervalUncertainty / a.signal.Interval; rel*r.Frequency.Value > intervalTells*r.Frequency.Uncertainty {
		list.add(FewDigits, rel)
	}
	return list
}

// tones notes what the tones beside the strongest mean.
func (l *noteList) tones(r *Result, loudest *ring) {
	beats := false
	for k, t := range r.Tones[1:] {
		switch ratio := t.Amplitude.Value / r.Amplitude.Value; {
		case t.Relation == Near && ratio > strongBeat && !beats:
			beats = true
			apart := math.Abs(t.Frequency.Value - r.Tones[0].Frequency.Value)
			l.add(Beating, apart, ratio, loudest.fit.series.beats(loudest.fit.tones[0], loudest.fit.tones[k+1]))
		case t.Relation == Folded:
			l.add(FoldedHarmonic, float64(t.Harmonic), t.Frequency.Value)
		}
	}
}

// rings notes how well the rings follow decaying sines.
func (l *noteList) rings(r *Result, rings []*ring) {
	masked, skipped, misfit := 0, 0.0, false
	excess := 0.0
	var moved *halves
	for _, g := range rings {
		excess = math.Max(excess, g.excess)
		if moved == nil {
			moved = g.moved
		}
		masked += g.masked
		skipped = math.Max(skipped, g.skipped)
		misfit = misfit || g.misfit
	}
	if masked > 0 {
		l.add(Clipped, float64(masked))
	}
	if skipped >= skippedToTell {
		l.add(FirstSkipped, skipped)
	}
	if misfit {
		l.add(Misfit)
	}
	if excess > notOneSine {
		l.add(NotOneSine, excess)
	}
	if moved != nil {
		q := func(t tone) float64 { return math.Max(0, math.Hypot(t.omega, t.alpha)/(2*t.alpha)) }
		l.add(StartAndEndDiffer, moved.start.omega/(2*math.Pi), moved.end.omega/(2*math.Pi), q(moved.start), q(moved.end))
	}
	if r.Noise.AtTone > noticeable && excess <= notOneSine {
		l.add(Coloured, r.Noise.AtTone)
	}
}
