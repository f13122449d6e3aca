package patterns

import "gonum.org/v1/gonum/mathext"

// NormalPosition is where one of a sorted sample of standard normal numbers is
// to be expected: its median, and the limits that it lies within with 95 %
// probability.
type NormalPosition struct{ Expected, Low, High float64 }

// NormalOrder returns the position of the k-th smallest of n values, k from 1.
//
// The k-th smallest of n uniform numbers follows the Beta distribution with
// parameters k and n + 1 − k; its median and its 2.5 % and 97.5 % quantiles are
// carried to the normal scale by the inverse of the normal distribution (J. J.
// Filliben, Technometrics 17 (1975) 111; NIST/SEMATECH e-Handbook of Statistical
// Methods, 1.3.3.21). The limits hold for each value by itself, not for all at
// once, and for independent values: residuals of a fit are nearly so when there
// are many more of them than parameters.
func NormalOrder(k, n int) NormalPosition {
	if 2*k > n+1 { // mirrored from the lower half, where no digits are lost near one
		q := NormalOrder(n+1-k, n)
		return NormalPosition{-q.Expected, -q.High, -q.Low}
	}
	at := func(p float64) float64 {
		return mathext.NormalQuantile(mathext.InvRegIncBeta(float64(k), float64(n+1-k), p))
	}
	return NormalPosition{at(0.5), at(0.025), at(0.975)}
}

// enoughToPlot is the number of values from which a quantile–quantile plot says
// something of their distribution.
const enoughToPlot = 8

// EnoughForNormalPlot tells whether n values are enough to judge by a
// quantile–quantile plot whether they are normal. With fewer the limits are so
// wide that hardly anything falls outside.
func EnoughForNormalPlot(n int) bool { return n >= enoughToPlot }
