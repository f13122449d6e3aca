package ringing

import (
	"math"
	"slices"
)

// ring is one stretch with its tones.
type ring struct {
	stretch
	skipped float64 // cycles after the onset that don't follow the decay
	fit     *projection
	colour  colour
	cov     [][]float64 // see projection.covariance
	paired  bool        // two tones in place of the strongest were tried
	misfit  bool        // the beginning doesn't follow, wherever it is put
	masked  int         // clipped samples left out
	moved   *halves     // start and end, where they differ
	excess  float64     // see analysis.excess
	before  stretch     // quiet samples before the ring, if any
	rms     float64     // of the residuals of the samples in V
	limited bool        // to what is fitted sample by sample
	long    *ring       // the same carried on to the end of a long stretch, or nil
}

// meanSquare is taken over the rows from … to that are not left out.
func meanSquare(s *series, residual []float64, from, to int) float64 {
	var sum float64
	n := 0
	for m := from; m < to; m++ {
		if s.skip != nil && s.skip[m] {
			continue
		}
		sum += residual[m] * residual[m]
		n++
	}
	return sum / float64(max(n, 1))
}

// cycles returns how many cycles of the strongest tone stand out of the noise
// that one cycle lets through.
func (r *ring) cycles() float64 {
	p, s := r.fit, r.fit.series
	t := p.tones[0]
	seconds := s.length()
	if t.alpha > 0 {
		perCycle := math.Max(1, 2*math.Pi/(t.omega*s.spacing()))
		noise := math.Sqrt(2 * r.colour.density(t.omega*s.spacing()) / perCycle)
		seconds = math.Min(seconds, math.Max(0, math.Log(p.size(0)/noise)/t.alpha))
	}
	return seconds * t.omega / (2 * math.Pi)
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

// whole returns the ring that reaches to the end of the stretch.
func (r *ring) whole() *ring {
	if r.long != nil {
		return r.long
	}
	return r
}

// falls reports whether a damping, with its standard uncertainty, is that of a
// decay: where the amplitude hardly falls, 2 u are met by chance too often, since
// most tones are steady.
func falls(alpha, u, seconds float64) bool {
	const little, sure = 0.1, 4
	fall := alpha * seconds
	return fall > leastFall && u < vague*alpha && (fall > little || sure*u < alpha)
}

// leastFall is αt over the capture below which a fall of the amplitude is
// taken for the source's drift and not for a decay: one percent.
const leastFall = 0.01 // with 0 and 0.05 nothing changes

// vague is the relative standard uncertainty above which a positive quantity
// is called undetermined: its 95 % interval then reaches down to zero.
const vague = 0.5

const (
	mostTones     = 6
	falseAlarm    = 1e-4 // chance that noise alone lets a further tone be tried
	tellingTone   = 6    // amplitude over its standard uncertainty, to be kept; 3 and 12 change nothing
	clearly       = 12   // difference of criteria, for odds of 400 to 1; with 0 nothing changes in 232 captures, nor in 120 of two modes
	nearTone      = 0.25 // of the strongest tone's frequency: the two beat; with 0.12 two of the pairs of modes aren't said to
	resolvedBeats = 0.25 // beats within the capture that tell two tones apart; with 0 two of four drives that wander are said to beat
)

// amplitude returns the amplitude of tone k at the first sample and its
// standard uncertainty, in V.
func (r *ring) amplitude(k int) (value, u float64) {
	a, b := r.fit.coef[2*k], r.fit.coef[2*k+1]
	value = r.fit.size(k)
	grad := gradient{2*len(r.fit.tones) + 2*k, []float64{a / value, b / value}}
	return value, r.u(grad)
}

// u returns the standard uncertainty of a quantity with the gradient g.
func (r *ring) u(g gradient) float64 { return math.Sqrt(math.Max(0, r.covariance(g, g))) }

// covariance returns gᵀCh, C being the ring's covariance.
func (r *ring) covariance(g, h gradient) (sum float64) {
	for i, x := range g.by {
		for j, y := range h.by {
			sum += x * r.cov[g.at+i][h.at+j] * y
		}
	}
	return sum
}

// halves compares the strongest tone of a ring fitted at its start with that
// fitted at its end: one decaying sine is the same at both. Soft limiting, a
// frequency or a loss that moves with the amplitude, a drive that goes on into
// the ring and tones too near to be told apart are not.
type halves struct {
	start, end tone
	z          float64 // the larger of the two differences over their standard uncertainties
	mid        int     // samples from the start of the ring to the cut
}

const (
	rowsPerCycle = 32      // averaging stops here; it costs 1/600 of the amplitude
	mostRows     = 1 << 14 // fitted sample by sample; more are turned back first
	mostClipped  = 1 << 16 // where clipped samples are left out, which can't be averaged
	enoughDecay  = 10      // time constants after which nothing is left to learn
)

// settle works out the noise's colour and the covariance.
func (r *ring) settle() error {
	s := r.fit.series
	j := r.fit.jacobian()
	if j == nil {
		return &Refusal{Reason: NoFit}
	}
	r.settleColour()
	theta := (r.fit.tones[0].omega - s.shift) * s.spacing()
	nearby := r.colour.local(theta) * float64(s.used())
	r.colour.degrees = math.Min(r.colour.degrees, math.Max(1, nearby-float64(len(j.q))))
	r.cov = r.fit.covariance(j, r.colour)
	return nil
}

// settleColour works out the noise's colour as far as another tone asks.
func (r *ring) settleColour() {
	r.colour = colourOf(r.fit.series, r.fit.residual, 2*len(r.fit.tones)+len(r.fit.coef))
}

// decaying reports whether tone k surely dies away.
func (r *ring) decaying(k int) bool {
	const sure = 4 // 2 and 8 change nothing
	alpha, u := r.fit.tones[k].alpha, math.Sqrt(r.cov[2*k+1][2*k+1])
	return alpha > sure*u && alpha*r.fit.series.length() > leastFall
}

// steady reports whether tone k surely lasts much longer than the strongest,
// which dies away.
func (r *ring) steady(k int) bool {
	const share, sure = 0.2, 2 // 0.05 and 0.5 for the one change nothing
	alpha, u := r.fit.tones[k].alpha, math.Sqrt(r.cov[2*k+1][2*k+1])
	return r.decaying(0) && math.Abs(alpha)+sure*u < share*r.fit.tones[0].alpha
}
