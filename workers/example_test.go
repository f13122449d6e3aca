package workers_test

import (
	"fmt"

	"fitcoil/workers"
)

// Squares by four workers, each of which takes every fourth.
func ExampleOn() {
	squares := make([]int, 10)
	workers.On(4, func(w int) {
		for i := w; i < len(squares); i += 4 {
			squares[i] = i * i
		}
	})
	fmt.Println(squares)
	// Output:
	// [0 1 4 9 16 25 36 49 64 81]
}
