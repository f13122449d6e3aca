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
