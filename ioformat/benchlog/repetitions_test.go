package benchlog

import "testing"

// repetitions returns how often to try what is tried n times when there is time:
// a quarter of it under the race detector, which slows all down, and with -short.
func repetitions(n int) int {
	if raceDetector || testing.Short() {
		return n / 4
	}
	return n
}
