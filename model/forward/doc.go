// Package forward is the forward model of a fit: where each unknown stands, and the
// frequency of a state and every reported quantity that the unknowns give, with
// derivatives. It adds up what hangs on the top (parts, leads, a hand), sets the gain of a
// core where it sits, lets frequencies drift, and tells by how much the model errs. It
// knows no residuals.
package forward
