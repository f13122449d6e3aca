// Package ringing finds the tone in a captured voltage and says how well the
// capture determines it: frequency, damping, quality factor, amplitude.
//
// It believes that a capture is an offset, a few exponentially damped
// sinusoids
//
//	y(t) = c + Σ Re(A e^{st}),   s = −α + iω,
//
// and noise of unknown colour. A coil that is struck rings this way: with the
// undamped angular frequency ω₀ = √(ω² + α²) and the quality factor
// Q = ω₀/(2α), the envelope falls as exp(−ω₀t/2Q) and the zero crossings come
// at the damped frequency ω/2π = (ω₀/2π)√(1 − 1/4Q²), so that the logarithmic
// decrement is 2πα/ω = π/√(Q² − ¼). A steady tone is the case α = 0.
//
// A windowed spectrum gives the start; the frequencies and dampings then come
// from nonlinear least squares, the amplitudes and the offset being eliminated
// by variable projection (Golub and Pereyra, SIAM J. Numer. Anal. 10 (1973)
// 413, with the simplified derivative of Kaufman, BIT 15 (1975) 49). In white
// noise this reaches the Cramér-Rao bound, for the steady tone as given by
// Rife and Boorstyn (IEEE Trans. Inf. Theory 20 (1974) 591). The residuals are
// not taken to be white: their spectrum, from an autoregressive model, weighs
// the covariance.
//
// What rings is looked for first, what lasts second: a steady tone is a drive's,
// or a station's, and a ring may show when it is taken off. Where the envelope
// swells again and again, a coil was struck or driven again, or two tones beat:
// the pieces are fitted apart and together, and together is kept where it
// explains them no worse. A ring is one decaying sine only if its start and its
// end agree and its residual is as small where it is loud as where it is not;
// otherwise its end is told, and the differences go into the uncertainties. Of
// the bursts, those that ring at the frequency of the loudest are averaged.
//
// Long captures are averaged in blocks before they are fitted. The model is
// averaged by the same formula, so that no bias arises; see series.
//
// It refuses to call a tone what could be noise, to give a frequency for fewer
// than three cycles, to give a quality factor that the decay doesn't
// determine, and to guess at samples that are not numbers. It leaves clipped
// samples out, and refuses when too little is left. It cannot see aliasing or
// an error of the time base in the samples; it warns of the one where it is
// likely, and takes the other as a setting.
//
// Thresholds without a source are plain choices. What is said of their effect is of the 43 quick
// captures of TestHonesty: "nothing" means that refusals, errors and notes stay the same within
// the factor said, by scripts/thresholds.sh.
package ringing
