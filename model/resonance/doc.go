// Package resonance finds frequency and quality factor of a coil that is
// driven: from a sweep, the amplitude at a number of frequencies around the
// resonance.
//
// It believes that the coil answers a drive of constant size like one
// resonance line beside a little of the drive that reaches the probe directly,
//
//	|A(f)| = a · |1/(1 + iX) + u + iv|,   X = Q (f/f₀ − f₀/f),
//
// the line of a series circuit of L, C and R with Q = ω₀L/R, whose half-power
// points are f₀/Q apart. The direct part u + iv is estimated with it, from the
// prior 0 ± 0.1 each; what it leaves open of f₀ and Q is in their
// uncertainties. Whether a probe follows the current, the voltage or the
// field's change tilts the line by a factor f/f₀ or f₀/f, which moves its peak
// by f₀/(4Q²) but not f₀: near the peak the tilt is what v = ±1/(2Q) does.
//
// Noise is either the same at all frequencies or in proportion to the
// amplitude; the likelihood decides which, and the scatter how large it is,
// but never below what the digits leave open. Where the residuals follow a
// pattern, the uncertainties are enlarged by what their correlation leaves of
// independent readings, and a note says so.
//
// It refuses a sweep that doesn't pass over the peak, one with two peaks, and
// one that doesn't determine the width. It can't see that the drive wasn't
// constant; the quality factor is that of the coil with all that loads it.
package resonance
