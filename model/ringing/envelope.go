package ringing

import (
	"math"
	"math/cmplx"
	"slices"
)

// envelope is the amplitude of the tone in windows of width samples that
// start every hop samples; four hops make a window.
type envelope struct {
	amplitude  []float64
	hop, width int
	clipped    bool    // a flat envelope may be the rail's
	scatter    float64 // V, standard deviation of an amplitude
}

const (
	hopsPerWindow   = 4
	fewestInWindow  = 8
	envelopeWindows = 1 << 14 // at most about so many windows
)

// follow demodulates y at the candidate's frequency. A window is one cycle, or
// more when a cycle has few samples or the capture very many cycles.
func follow(y []float64, c candidate) envelope {
	cycle := 2 * math.Pi / c.omega
	width := cycle * math.Ceil(fewestInWindow/cycle)
	if most := float64(len(y)) / envelopeWindows; width < most {
		width = cycle * math.Ceil(most/cycle)
	}
	hop := max(1, int(math.Round(width/hopsPerWindow)))
	e := envelope{hop: hop, width: hop * hopsPerWindow}

	type sum struct {
		z, turn complex128
		y       float64
	}
	sums := make([]sum, len(y)/hop)
	step := cmplx.Rect(1, -c.omega)
	for j := range sums {
		turn := cmplx.Rect(1, math.Remainder(-c.omega*float64(j*hop), 2*math.Pi))
		s := &sums[j]
		for _, v := range y[j*hop : (j+1)*hop] {
			s.z += complex(v*real(turn), v*imag(turn))
			s.turn += turn
			s.y += v
			turn *= step
		}
	}
	for j := 0; j+hopsPerWindow <= len(sums); j++ {
		var w sum
		for _, s := range sums[j : j+hopsPerWindow] {
			w.z += s.z
			w.turn += s.turn
			w.y += s.y
		}
		n := float64(e.width)
		e.amplitude = append(e.amplitude, 2/n*cmplx.Abs(w.z-w.turn*complex(w.y/n, 0)))
	}
	e.scatter = math.Sqrt(2 * c.noise / float64(e.width))
	return e
}

// stretch is a range of samples, from up to but without to.
type stretch struct{ from, to int }

func (s stretch) len() int { return s.to - s.from }

// enoughLeft is the number of windows that must follow a swell for it to be
// the beginning of a decay.
const enoughLeft = 6 * hopsPerWindow

// A rise or fall of the envelope counts when it is by this factor, beyond
// scatter, and between values of which the larger is at least this share of
// the loudest.
const (
	swing     = 1.6  // with 1.3 one gated drive is cut elsewhere; with 2.2 a ring after a spark has no ±
	beyond    = 9    // standard deviations: crests and troughs are extremes of many windows; with 0 one of four random walks is called a tone
	loudShare = 0.15 // with 0.3 a ring after a spark has no ±
)

// bursts cuts the capture where the tone swells: each piece runs from a crest
// of the envelope to the trough before the next rise. The pieces are the rings
// of a coil struck or driven again and again, or the swells of beating tones;
// see join. Without a fall the capture is one piece, from its loudest moment if
// it swells up first.
func (e envelope) bursts(n int) []stretch {
	a := e.amplitude
	falls := e.falls()
	if len(falls) <= 1 && (len(falls) == 0 || falls[0].from == 0) {
		from := 0
		if len(a) > 0 {
			top := slices.Max(a)
			if k := slices.Index(a, top); a[0] < 0.6*top && top-a[0] > 6*e.scatter && len(a)-k > enoughLeft {
				from = k * e.hop
			}
		}
		return []stretch{{from + e.driven(from, n), n}}
	}
	var list []stretch
	for i, f := range falls {
		s := stretch{f.from * e.hop, n}
		if i+1 < len(falls) {
			s.to = f.to * e.hop
		}
		s.to = min(s.to, s.from+e.lasts(s)*e.hop)
		s.from += e.driven(s.from, s.to)
		list = append(list, s)
	}
	return slices.DeleteFunc(list, func(s stretch) bool { return s.len() < fewestSamples })
}

// falls returns the windows from crests to troughs of the envelope. A crest
// begins with the first window that is nearly as loud as any after the trough
// before it: that is the first which holds nothing from before an onset.
func (e envelope) falls() (list []stretch) {
	const nearly = 0.95 // with 1 errors move by a tenth of their u
	a := e.amplitude
	if len(a) == 0 {
		return nil
	}
	loud := loudShare * slices.Max(a)
	rising, trough, crest := true, 0, 0
	for j, v := range a {
		switch {
		case rising && v > a[crest]:
			crest = j
		case rising && a[crest] >= loud && a[crest] > swing*v && a[crest]-v > beyond*e.scatter:
			from := trough + slices.IndexFunc(a[trough:], func(v float64) bool { return v >= nearly*a[crest] })
			list = append(list, stretch{from: from, to: len(a)})
			rising, trough = false, j
		case !rising && v < a[trough]:
			trough = j
		case !rising && v > loud && v > swing*a[trough] && v-a[trough] > beyond*e.scatter:
			list[len(list)-1].to = trough
			rising, crest = true, j
		}
	}
	return list
}

// driven returns the number of samples from from on in which the amplitude
// keeps level before it decays, as when a generator drives the coil for a
// while. An exponential takes ln 2/ln(1/0.9) = 6.6 times as long from 0.9 to
// 0.45 of the top as from the top to 0.9; a level that lasts three times
// longer than that is no decay: with 0.97 for the one, or 4 for the ratio, start and end of
// gated drives are said to differ.
func (e envelope) driven(from, to int) int {
	const high, low = 0.9, 0.45
	const ratio, level = 6.6, 3
	first, end := from/e.hop, min(to/e.hop, len(e.amplitude))
	if first >= end {
		return 0
	}
	a := e.amplitude[first:end]
	top := slices.Max(a)
	if e.clipped || low*top < 6*e.scatter {
		return 0
	}
	last := 0
	for low := 0; last < len(a) && low < hopsPerWindow; last++ {
		if low++; a[last] >= high*top {
			low = 0
		}
	}
	last -= hopsPerWindow // it ends before a whole window of lower amplitudes
	if last < hopsPerWindow {
		return 0
	}
	fall := slices.IndexFunc(a[last:], func(v float64) bool { return v < low*top })
	if fall < 0 || float64(last) < level*float64(fall)/ratio {
		return 0
	}
	// The window at last reaches a window's length into the decay.
	return (last + hopsPerWindow - int(float64(fall)/ratio)) * e.hop
}

// lasts returns a number of hops from the beginning of s after which a decay
// has surely died away: many times the time in which it falls to half.
func (e envelope) lasts(s stretch) int {
	const halves = 24 // enoughDecay is 14.4 of them
	from, to := s.from/e.hop, min(s.to/e.hop, len(e.amplitude))
	half := 0
	for j := from; j < to; j++ {
		if 2*e.amplitude[j] > e.amplitude[from] {
			half = j - from
		}
	}
	return halves * (half + hopsPerWindow)
}
