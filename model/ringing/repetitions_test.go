package ringing

import (
	"math"
	"testing"
)

// repetitions returns how often to simulate what is simulated n times when there
// is time, with -seeds of 4 or more: else, under the race detector, which slows
// all down, and with -short a quarter of it.
func repetitions(n int) int {
	if *seeds < many || raceDetector || testing.Short() {
		return n / 4
	}
	return n
}

// covers95 tells whether hits of intervals, with 95 % each, are as many as they
// should be: within 2 % of them for n simulations, and wider by √(n/done), as
// their number scatters, where only some were done.
func covers95(hits, done, n int) bool {
	return math.Abs(float64(hits)/float64(done)-0.95) <= 0.02*math.Sqrt(float64(n)/float64(done))
}
