// Package fit finds the parameters that make a set of equations come out as
// nearly as their uncertainties allow, and says how well they are then known.
//
// It believes that every residual is already standardised: divided by the
// standard uncertainty of its observation, so that a good residual is about
// one. Knowledge from elsewhere enters as further rows of the same kind
// (priors). Covariances are those of the stated uncertainties unless a result
// says otherwise in its Scale.
//
// It refuses to form normal equations, to call a fit converged whose digits
// have not settled, to put a number on a direction that no row fixes, and to
// make an uncertainty smaller because the residuals happen to be small (unless
// told that the uncertainties are unknown altogether).
//
// The solver is the trust-region form of the Levenberg–Marquardt method
// (J. J. Moré, Lecture Notes in Mathematics 630, 1978, 105–116) on an
// orthogonal factorisation that is built up block by block, so that memory
// holds one block of rows and one p × p triangle however many rows there are.
//
// The package knows no physics, no units and no files.
package fit
