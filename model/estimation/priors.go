package estimation

// The priors on a coil before the first reading. They are broad:
// they give way to any reading that says something on the matter, and what
// is determined by them is reported as such. They are choices, held against six coils that
// are 2 to 40 diameters long, with a hand as a sphere (TestPriorsSpanTheField, computed).
const (
	// A slim winding with a small ball holds most of its capacitance along
	// itself (0.03 to 0.06 at the top computed, with a ball of 18 mm); a squat one with a
	// large top does not.
	shareMean, shareSigma = 0.3, 0.3
	// A core of insulating ferrite changes the winding's capacitance somewhat:
	// the logarithm of the factor (0 to 0.03 computed).
	CoreSigma = 0.1
	// A hand is not a point: its offset is some centimetres, within a factor e (8.5 to 10 cm
	// computed from 5 to 40 cm, together with the exponent).
	offsetMean, offsetSigma = 0.07, 1
	// A grounded body lowers the frequency as some inverse power: 2.5 to 3.1 computed, from 5 to
	// 40 cm; with 2 the law is off by less than 600 ppm from 2 to 50 cm (TestHandLawAgainstFields).
	// With offset and exponent together, 10 and 40 cm differ by a factor of 11, within 2.4;
	// published laws have 1.4 to 43.
	exponentMean, exponentSigma = 2.4, 0.6
	// Where nothing tells inductance from capacitance, a solver needs some
	// ground under its feet: winding and top together are about 8 pF, within a
	// factor of seven. It is used only then, and far too weak to make anything
	// determined.
	AnchorMean, anchorSigma = 8e-12, 2
	// Where an unknown part can't be told from the coil either, it is some
	// picofarads, within twenty powers of e.
	partMean, partSigma = 3e-12, 10
	// Nor a hand: at 10 cm it is some tens of femtofarads, likewise.
	handMean, handSigma, handAt = 5e-14, 10, 0.1

	anchorLevels = 3 // none, the coil, the coil and its unknown parts and hand
)
