package patterns_test

import (
	"fmt"

	"fitcoil/model/patterns"
)

// Residuals (invented) that rise with their order.
var drifting = []float64{-1.6, -1.1, -1.3, -0.8, -0.4, -0.6, 0.1, 0.3, -0.1, 0.9, 0.7, 1.2, 1.5, 1.1}

func ExampleTrend() {
	rho, p := patterns.Trend(drifting)
	fmt.Printf("rank correlation with the order %.2f, by chance in fewer than 1 of 10,000: %v\n", rho, p < 1e-4)
	// Output:
	// rank correlation with the order 0.96, by chance in fewer than 1 of 10,000: true
}

func ExampleNeighbours() {
	rho, p := patterns.Neighbours(drifting)
	fmt.Printf("neighbours correlate by %.2f, p %.3f\n", rho, p)
	// Output:
	// neighbours correlate by 0.74, p 0.006
}

// The greatest of twenty normal residuals is near 1.8, and no more than 3.0 with 97.5 %.
func ExampleNormalOrder() {
	if patterns.EnoughForNormalPlot(20) {
		q := patterns.NormalOrder(20, 20)
		fmt.Printf("%.1f (%.1f to %.1f)\n", q.Expected, q.Low, q.High)
	}
	// Output:
	// 1.8 (1.0 to 3.0)
}
