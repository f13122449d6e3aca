// Package patterns asks of the standardised residuals of a fit whether they look like
// chance: a trend with their order, neighbours that are alike, and where each would stand
// among as many normal ones. It knows values and their order, nothing of what they are
// residuals of.
package patterns
