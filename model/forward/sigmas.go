package forward

// LeadSigma is the standard uncertainty [F] with which nothing is expected of clips and
// leads: some centimetres of thin wire have some tenths of a picofarad (2πε₀l/(ln(2l/d) −
// 0.4) of a vertical wire gives 0.57 pF for 5 cm of 0.5 mm, after Skeldon, Reid, McInally,
// Dougan and Fulton, Am. J. Phys. 66, 1998), most of which is there without them too.
const LeadSigma = 0.1e-12

// StraySigma is the standard uncertainty [F] with which the coil is expected to have the same
// stray capacitance on another bench: that of some decimetres of wire or of a body close by.
// A choice.
const StraySigma = 1e-12

// DriftSigma is the standard uncertainty with which no drift is expected over a session,
// relative: a ferrite core makes 60 to 600 ppm a kelvin (computed from p·0.21 %/K, see
// docs/mathematics.md).
const DriftSigma = 5e-4

// CommonShare is the share of a tolerance's variance that parts of one lot are taken to
// have in common where nobody says it: different values of one kit are made apart, but from
// one material, by one process, and sorted by one meter. An assumption: no published figure
// was found.
const CommonShare = 0.25

// MostPlaces is how many places are unknowns, so that a log of any length has few of
// these. Beyond, n readings in one place count with the model's uncertainty √n times
// each: their mean then has that of one, as with an unknown where all are in one state.
const MostPlaces = 40

// Apart is the fraction of the model's uncertainty in a place by which its errors there
// differ from one another, with more or less on the top: the median standard deviation of
// insertions simulated with the coupled sections and fitted with the line, nothing to
// 22 pF on the top, divided by that uncertainty (computed, TestErrorsOfOnePlace: 0.16; 0.24 rms, for
// thick beads). What
// all have in common is the rest.
const (
	Apart    = 0.2
	InCommon = 0.979795897113271 // √(1 − apart²)
)

// HandSpread is the standard uncertainty of the logarithm of a hand's capacitance at a distance
// that was read, by the law through more than three: with those of eleven field calculations from 5 to 40 cm
// the law is off by 1.3 to 1.5 % (computed, TestHandLawBetweenDistances), and 2 mm, to which a ruler gives a
// distance (common practice), make 3 % of it at 10 cm.
const HandSpread = 0.03
