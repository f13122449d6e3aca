// Package repeat says how often tests simulate, and what they may find then.
package repeat

import (
	"math"
	"testing"
)

// Times returns how often to try what is tried n times when there is time: a quarter of
// it under the race detector, which slows all down, and with -short.
func Times(n int) int {
	if Race || testing.Short() {
		return n / 4
	}
	return n
}

// Covers95 tells whether hits of intervals, with 95 % each, are as many as they
// should be: within 2 % of them for n simulations, and wider by √(n/done), as
// their number scatters, where only some were done.
func Covers95(hits, done, n int) bool {
	return math.Abs(float64(hits)/float64(done)-0.95) <= 0.02*math.Sqrt(float64(n)/float64(done))
}
