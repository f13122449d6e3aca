package resonance

import "math"

// fewestPoints is the number of different frequencies below which there is no fit: five
// unknowns, and two to check them with.
const fewestPoints = 7

// sweep is one run of Fit, with what a look at the readings tells before any fit.
type sweep struct {
	points    []Point // in the order of frequency
	top       int     // the highest of them
	width     float64 // Q by the half-power width
	low, high float64 // lowest amplitude below and above the peak, over it
}

// check refuses a sweep that needs no fit to be refused, and finds its shape.
func (s *sweep) check() error {
	different := 0
	for i, p := range s.points {
		if i == 0 || p.Frequency > s.points[i-1].Frequency {
			different++
		}
		if p.Amplitude > s.points[s.top].Amplitude {
			s.top = i
		}
	}
	if different < fewestPoints {
		return &Refusal{Reason: TooFew, Got: float64(different), Need: fewestPoints}
	}
	switch f := s.points[s.top].Frequency; f {
	case s.points[0].Frequency:
		return s.outside(BelowAll)
	case s.points[len(s.points)-1].Frequency:
		return s.outside(AboveAll)
	}
	s.look()
	if i, found := s.slip(); found {
		return &Refusal{Reason: Slip, Frequencies: [2]float64{s.points[i].Frequency}}
	}
	if i, found := s.another(); found {
		a, b := s.points[s.top].Frequency, s.points[i].Frequency
		return &Refusal{Reason: TwoPeaks, Frequencies: [2]float64{math.Min(a, b), math.Max(a, b)}}
	}
	return nil
}

func (s *sweep) outside(r Reason) error {
	return &Refusal{Reason: r, Frequencies: [2]float64{s.points[0].Frequency, s.points[len(s.points)-1].Frequency}}
}

// look finds the half-power width and how far the flanks were followed.
func (s *sweep) look() {
	top := s.points[s.top]
	half := top.Amplitude / math.Sqrt2
	s.low, s.high = 1, 1
	flank := func(step int) (width float64) {
		before := top
		for i := s.top + step; i >= 0 && i < len(s.points); i += step {
			p := s.points[i]
			if share := p.Amplitude / top.Amplitude; step < 0 {
				s.low = math.Min(s.low, share)
			} else {
				s.high = math.Min(s.high, share)
			}
			if width == 0 && p.Amplitude < half {
				at := before.Frequency
				if d := before.Amplitude - p.Amplitude; d > 0 {
					at += (p.Frequency - before.Frequency) * (before.Amplitude - half) / d
				}
				width = math.Abs(at - top.Frequency)
			}
			before = p
		}
		return width
	}
	below, above := flank(-1), flank(1)
	switch {
	case below > 0 && above > 0:
		s.width = top.Frequency / (below + above)
	case below+above > 0:
		s.width = top.Frequency / (2 * (below + above))
	default:
		s.width = top.Frequency / (s.points[len(s.points)-1].Frequency - s.points[0].Frequency)
	}
}

// slip looks for one reading that is far from both its neighbours: at half of
// the smaller one within the peak, or at four times the larger.
func (s *sweep) slip() (at int, found bool) {
	const low, high = 0.5, 4
	half := s.points[s.top].Amplitude / 2
	for i := 1; i+1 < len(s.points); i++ {
		before, here, after := s.points[i-1].Amplitude, s.points[i].Amplitude, s.points[i+1].Amplitude
		if least := math.Min(before, after); least > half && here < low*least || here > high*math.Max(before, after) {
			return i, true
		}
	}
	return 0, false
}

// another looks for a second peak: a reading of at least a third of the
// highest, with at least two readings between them that all readings around
// are well above.
func (s *sweep) another() (at int, found bool) {
	const (
		share = 1.0 / 3 // of the highest
		dip   = 0.8     // of the second, at most
	)
	top := s.points[s.top].Amplitude
	for _, step := range []int{-1, 1} {
		lowest := top
		for i := s.top + step; i >= 0 && i < len(s.points); i += step {
			a := s.points[i].Amplitude
			lowest = min(lowest, a)
			if a > share*top && lowest < dip*a && (!found || a > s.points[at].Amplitude) && s.backed(i, lowest) {
				at, found = i, true
			}
		}
	}
	return at, found
}

// backed tells whether a neighbour is high too: one reading is no peak.
func (s *sweep) backed(i int, lowest float64) bool {
	high := func(k int) bool {
		return k >= 0 && k < len(s.points) && s.points[k].Amplitude > (s.points[i].Amplitude+lowest)/2
	}
	return high(i-1) || high(i+1)
}

// neighbours returns the correlation of neighbouring residuals, by von
// Neumann's ratio.
func neighbours(r []float64) float64 {
	var steps, squares float64
	for i, v := range r {
		squares += v * v
		if i > 0 {
			d := v - r[i-1]
			steps += d * d
		}
	}
	if squares == 0 {
		return 0
	}
	return math.Max(-0.98, math.Min(0.98, 1-steps/(2*squares)))
}

// patterned tells whether a correlation of neighbours is more than chance
// leaves in a fit of so many readings: beyond three standard deviations of
// 1/√n each.
func patterned(correlation float64, n int) bool {
	const few = 10
	return n >= few && correlation > 2.6/math.Sqrt(float64(n))
}

// notes says what is weak in a sweep.
func (s *sweep) notes(r *Result, f0, q float64) {
	inside := 0
	for _, p := range s.points {
		if math.Abs(q*(p.Frequency/f0-f0/p.Frequency)) <= 1 {
			inside++
		}
	}
	const few = 3
	if inside < few {
		r.Notes = append(r.Notes, Note{FewInPeak, float64(inside)})
	}
	coarse := 0.0
	for _, p := range s.points {
		coarse = math.Max(coarse, p.FrequencyDigit)
	}
	if e := r.Resonance; coarse/math.Sqrt(12)*math.Sqrt(2/float64(len(s.points))) > e.Uncertainty/2 {
		r.Notes = append(r.Notes, Note{FewDigits, coarse})
	}
	const half = 0.75
	if s.low > half {
		r.Notes = append(r.Notes, Note{Below, s.low})
	}
	if s.high > half {
		r.Notes = append(r.Notes, Note{Above, s.high})
	}
	const much = 0.15
	if r.Direct.Value > much && r.Direct.Value > 2*r.Direct.Uncertainty {
		r.Notes = append(r.Notes, Note{Coupled, r.Direct.Value})
	}
}
