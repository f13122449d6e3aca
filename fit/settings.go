package fit

// Settings steers Solve. The zero value works.
type Settings struct {
	// MaxIterations is the number of accepted or rejected steps after which
	// Solve gives up; 0 means 2000.
	MaxIterations int
	// FirstRadius is the length of the longest first step, as a multiple of
	// the length of the start, both measured in scaled parameters (each
	// multiplied by the norm of its column of the Jacobian), or of a hundredth
	// of the norm of the residuals if that is more; 0 means 1.
	FirstRadius float64
	// BlockRows is the number of rows evaluated and folded into the triangle
	// at a time; 0 means 256. Memory is BlockRows · (2p + 1) numbers.
	BlockRows int
	// Loss is what is summed over the data rows; the zero value is squares.
	// Prior rows are always squared.
	Loss Loss
	// Offset is for fits whose uncertainties mean more than their digits: a fit
	// also counts as converged if it stopped where the Gauss–Newton step left
	// would change the fitted values by no more than this, in standard
	// uncertainties (after the relative offset of D. M. Bates and D. G. Watts,
	// Technometrics 23, 1981, 179–183), and it ends where all steps to come change
	// them by less. 0 means never.
	Offset float64
	// Uncertainty says what SolveScaled may do to the stated uncertainties.
	Uncertainty Uncertainty
}

// Uncertainty is the trust put in the stated uncertainties of the data.
type Uncertainty int

const (
	// Stated uncertainties may prove too small, never too large: they are
	// scaled up when the scatter requires it.
	Stated Uncertainty = iota
	// Relative uncertainties are right among themselves only: their common
	// factor is found from the scatter, in both directions.
	Relative
)

func (s Settings) withDefaults() Settings {
	if s.MaxIterations == 0 {
		s.MaxIterations = 2000
	}
	if s.FirstRadius == 0 {
		s.FirstRadius = 1
	}
	if s.BlockRows == 0 {
		s.BlockRows = 256
	}
	return s
}

// Where a threshold comes from: rounding of double precision, ε = 2.2e-16, of which a minimum is
// flat to √ε; Moré 1978 for leastRatio; the rest are choices. They, and the ranks and shares of
// step.go, covariance.go, design.go, diagnose.go, with.go and redundancy.go, were tried ten times
// as large and small, counts three times, on the problems of the tests (27 of NIST's, those of
// Moré, Garbow and Hillstrom, hostile ones, robust and eliminated fits): results and verdicts
// change only where a comment here says so.
const (
	settled    = 1e-8  // what Converged promises: about √ε
	polished   = 1e-10 // steps still to come that are not worth taking; at 1e-9 robust fits differ from bisection
	telling    = 1e-3  // a step so small that the next ones can be foretold
	negligible = 4e-16 // a relative step that changes nothing: 2ε
	noise      = 1e-12 // relative change of the objective that is rounding; larger or smaller, large residuals fail

	telltale      = 16   // steps that show which directions have a hold, were later ones too short for that; with 4 and 64 all ends as with it
	crawling      = 200  // steps until a fit begins afresh; then twice as many, and so on; with 67 some valleys are left
	straight      = 1.5  // of actual to predicted reduction, 2 for none of the curvature that was predicted
	mostStretches = 30   // doublings of one step
	leastRatio    = 1e-4 // of actual to predicted reduction, for a step to be taken
	mostRefused   = 100  // steps in a row
)

const (
	ownSettled = 1e-7 // of a standard uncertainty: what is left is linear, and is projected out
	ownOffset  = 0.01 // of Settings.Offset: likewise
	ownPasses  = 60
	ownNear    = 1 // standard uncertainties, within which its rows are about linear
)

const (
	newtonCalls = 2 // while other steps are left
	newtonFresh = 3 // Hessians a call
	newtonTries = 30
	newtonSlope = 1e-5 // cosine of columns and residuals that counts as none
	newtonRise  = 1e-9 // of the objective, below which nothing can be seen
	newtonRank  = 1e-9 // of the largest curvature, below which there is none
	newtonShift = 1e-3 // of a parameter or of its standard uncertainty; with 0.01 MGH09 has six digits only
)
