package ringing

import (
	"cmp"
	"math"
	"slices"
)

// Settings steers Analyse. The zero value works.
type Settings struct {
	// Timebase is the relative standard uncertainty of the scope's time base.
	// It goes into every frequency.
	Timebase float64
	// Columns is the number of points of a drawing; 0 means 1000.
	Columns int
	// Progress is called now and then with the share of the work done, 0 to 1.
	Progress func(done float64)
}

const mostBursts = 32 // analysed; the loudest

// analysis is one run of Analyse.
type analysis struct {
	signal Signal
	set    Settings
	scan   scan
	like   tone // of the ring fitted last: the next, of the same coil, lasts as long

	done    float64   // as told to Progress
	first   int       // sample where the first burst begins
	whole   []float64 // V, the samples before the company was taken off; nil if none was
	company *company
}

// Analyse finds the tone in a signal. The error of a signal that doesn't
// determine a frequency is a [*Refusal].
func Analyse(signal Signal, set Settings) (*Result, error) {
	if err := signal.check(); err != nil {
		return nil, err
	}
	a := &analysis{signal: signal, set: set}
	a.scan = scanSamples(signal.Samples)
	a.progress(0.1)
	if err := a.hopeless(); err != nil {
		return nil, err
	}
	list, slow := find(signal.Samples, a.need())
	a.progress(0.2)
	f, err := a.choose(list)
	if err != nil {
		return nil, a.tooFew(err, list, slow)
	}
	a.progress(0.9)
	r := a.result(f)
	r.Drawing = a.draw(r, f.rings)
	a.progress(1)
	return r, nil
}

func (a *analysis) progress(done float64) {
	if a.set.Progress != nil && done > a.done {
		a.done = done
		a.set.Progress(done)
	}
}

// hopeless refuses what needs no fit to be refused.
func (a *analysis) hopeless() error {
	if a.scan.max == a.scan.min {
		return &Refusal{Reason: Flat}
	}
	const mostFlat = 0.6
	if share := float64(a.scan.clip.Samples) / float64(len(a.signal.Samples)); share > mostFlat {
		return &Refusal{Reason: TooMuchClipped, Got: share}
	}
	return nil
}

// need is the power over the floor that a peak must have: one in a thousand
// captures of noise gets past; the fit decides.
func (a *analysis) need() float64 {
	const chance = 1e-3
	return math.Log(float64(len(a.signal.Samples)) / chance)
}

// tooFew turns a missing tone or fit into too few cycles where there was a
// slower and stronger peak, or something brief.
func (a *analysis) tooFew(err error, list []candidate, slow candidate) error {
	r, ok := err.(*Refusal)
	if !ok || r.Reason != NoTone && r.Reason != NoFit {
		return err
	}
	for _, c := range list {
		if c.power > slow.power {
			return err
		}
	}
	if slow.power > r.Need*r.Need/2 {
		return &Refusal{Reason: TooFewCycles, Got: slow.cycles, Need: fewestCycles, Short: Slow}
	}
	if len(list) == 0 && profileOf(a.signal.Samples).brief() {
		return &Refusal{Reason: TooFewCycles, Need: fewestCycles, Short: Over}
	}
	return err
}

// finding is what was made of one candidate.
type finding struct {
	rings []*ring // in order of time
	found int     // bursts that there are
}

// decays reports whether the loudest of the rings dies away.
func (f finding) decays(interval float64) bool {
	if f.loudest().fit.tones[0].alpha <= 0 { // a steady tone, whatever pulls at it later on
		return false
	}
	r := f.loudest().whole()
	t := r.fit.tones[0]
	return falls(t.alpha, math.Sqrt(r.cov[1][1]), float64(r.len())*interval)
}

// loudest returns the ring that begins with the greatest amplitude.
func (f finding) loudest() *ring {
	return slices.MaxFunc(f.rings, func(r, q *ring) int { return cmp.Compare(first(r.amplitude(0)), first(q.amplitude(0))) })
}

const mostCandidates = 5 // tried

// choose fits the candidates in turn and returns the one that decays with the
// most energy: a steady tone is a drive's, or a station's, and a spark is short.
// Where none decays, it is the first that can be fitted, and a ring may show
// when that is taken off.
func (a *analysis) choose(list []candidate) (best finding, err error) {
	const close = 0.1 // of the weight of the candidate that decays
	if len(list) == 0 {
		need := a.need()
		return best, &Refusal{Reason: NoTone, Need: math.Sqrt(2 * need)}
	}
	var seen []tone
	tried, energy, weight := 0, 0.0, 0.0
	for _, c := range list {
		if tried == mostCandidates || c.weight() < close*weight {
			break
		}
		if a.accounted(c, seen) {
			continue
		}
		tried++
		rings, found, e := a.rings(c)
		a.like = tone{}
		if e != nil {
			if err == nil {
				err = e
			}
			continue
		}
		f := finding{rings: rings, found: found}
		if f.decays(a.signal.Interval) {
			t := f.loudest().fit.tones[0]
			if v, _ := f.loudest().amplitude(0); v*v/t.alpha > energy {
				best, energy = f, v*v/t.alpha
			}
			weight = math.Max(weight, c.weight())
		} else if best.rings == nil {
			best = f
		}
		for _, r := range rings {
			seen = append(seen, r.principal(c.omega/a.signal.Interval)...)
		}
	}
	if best.rings == nil {
		return best, err
	}
	if energy == 0 {
		best, _ = a.behind(best)
	}
	return best, nil
}

// principal returns the tones of a ring that its candidate, near omega rad/s,
// stands for: all of a steady one, and those near a decay, beside which another
// may ring longer.
func (r *ring) principal(omega float64) []tone {
	if !r.decaying(0) {
		return r.fit.tones
	}
	return slices.DeleteFunc(slices.Clone(r.fit.tones), func(t tone) bool {
		return math.Abs(t.omega-omega) > nearTone*omega
	})
}

// accounted reports whether a candidate is one of the tones, or a multiple.
func (a *analysis) accounted(c candidate, seen []tone) bool {
	for _, t := range seen {
		ratio := c.omega / (t.omega * a.signal.Interval)
		bins := float64(sideLobes)
		n := math.Round(ratio)
		if n > 1 {
			bins = 0.3 // as well as a peak is placed
		}
		if n >= 1 && math.Abs(ratio-n) < math.Max(bins/c.cycles, 1e-3)*ratio {
			return true
		}
	}
	return false
}

// loudness is the mean square of the beginning of a stretch about its mean.
func (a *analysis) loudness(s stretch) float64 {
	const beginning = 4096
	return variance(a.signal.Samples[s.from:min(s.to, s.from+beginning)])
}

// ring fits one stretch and refuses one that holds no tone.
func (a *analysis) ring(st stretch, c candidate) (*ring, error) {
	r, err := a.decay(st, c)
	if err != nil {
		return nil, err
	}
	return a.settled(r, st, c)
}

// settled finds the beginning of a ring fitted from the first sample of a
// stretch on, and refuses one that holds no tone.
func (a *analysis) settled(r *ring, st stretch, c candidate) (*ring, error) {
	r = a.begin(r, st, c)
	if a.first == st.from { // nothing rings before
		cycle := int(2 * math.Pi / c.omega)
		r.before = stretch{0, max(0, st.from-2*cycle)}
	}
	if r.excess = a.excess(r, st); r.excess > notOneSine {
		if h, ok := r.halves(); ok {
			r.spread(h)
		}
	}
	const chance = 1e-4 // that the strongest of so many independent bins is noise
	need := math.Sqrt(2 * math.Log(float64(r.fit.series.used())/chance))
	if v, u := r.amplitude(0); !(v > need*u) {
		// What noise of this size, if it were white, could not do either.
		if v > 2*need*r.rms*math.Sqrt(2/float64(r.fit.series.used())) {
			return nil, &Refusal{Reason: NoFit}
		}
		return nil, &Refusal{Reason: NoTone, Got: v / u, Need: need}
	}
	if n := r.cycles(); n < fewestCycles {
		why := RecordEnds
		if all := float64(st.len()) * c.omega / (2 * math.Pi); all >= 2*fewestCycles {
			why = Dies
		}
		return nil, &Refusal{Reason: TooFewCycles, Got: n, Need: fewestCycles, Short: why}
	}
	r.long = a.extend(r, st.to)
	a.like = r.fit.tones[0]
	return r, nil
}

// rms returns the root mean square of the residuals of the single samples of
// a ring that are not clipped.
func (a *analysis) rms(r *ring) float64 {
	const block = 4096
	buf := make([]float64, block)
	var sum float64
	n := 0
	for from := r.from; from < r.to; from += block {
		y := buf[:copy(buf, a.signal.Samples[from:min(from+block, r.to)])]
		r.fit.add(y, from-r.from, -1)
		for i, v := range y {
			if s := r.fit.series; s.skip != nil && s.skip[from-r.from+i] {
				continue
			}
			sum += v * v
			n++
		}
	}
	return math.Sqrt(sum / float64(max(n, 1)))
}
