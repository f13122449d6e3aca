package ringing

import "fitcoil/internal/repeat"

// repetitions is repeat.Times with -seeds of 4 or more, else a quarter of n.
func repetitions(n int) int {
	if *seeds < many {
		return n / 4
	}
	return repeat.Times(n)
}
