package fit

const (
	settled    = 1e-8  // what Converged promises
	polished   = 1e-10 // steps still to come that are not worth taking
	telling    = 1e-3  // a step so small that the next ones can be foretold
	negligible = 4e-16 // a relative step that changes nothing
	noise      = 1e-12 // relative change of the objective that is rounding

	crawling    = 200  // steps until a fit begins afresh; then twice as many, and so on
	leastRatio  = 1e-4 // of actual to predicted reduction, for a step to be taken
	mostRefused = 100  // steps in a row
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
	newtonShift = 1e-3 // of a parameter or of its standard uncertainty
)
