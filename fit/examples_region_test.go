package fit_test

import (
	"fmt"
	"math"

	"fitcoil/fit"
)

// Two quantities together lie within 2.45 standard uncertainties with 95 % probability, one
// alone within 1.96.
func ExampleJointFactor() {
	fmt.Printf("%.2f, %.2f\n", fit.JointFactor(0.95, math.Inf(1)), fit.CoverageFactor(0.95, math.Inf(1)))
	// Output: 2.45, 1.96
}

// offset and slope are the parameters of a line.
func offset(x, grad []float64) float64 { return first(x, grad, 0) }
func slope(x, grad []float64) float64  { return first(x, grad, 1) }

func first(x, grad []float64, j int) float64 {
	if grad != nil {
		clear(grad)
		grad[j] = 1
	}
	return x[j]
}

// Of a line, the profile is a parabola, 1 at one standard uncertainty.
func ExampleProfileCurve() {
	p := fiveReadings()
	for _, q := range fit.Must(fit.ProfileCurve(p, solved(p), fit.Settings{}, slope, 2, 2)) {
		fmt.Printf("%.4f: %.2f\n", q.At, q.Rise)
	}
	// Output:
	// 1.9855: 3.92
	// 1.9917: 0.98
	// 1.9980: 0.00
	// 2.0043: 0.98
	// 2.0105: 3.92
}

// A line whose offset is larger has a smaller slope: the region of both together is slanted.
func ExampleContour() {
	p := fiveReadings()
	for _, q := range fit.Must(fit.Contour(p, solved(p), fit.Settings{}, offset, slope, 0.95, 4)) {
		fmt.Printf("%.3f, %.3f\n", q[0], q[1])
	}
	// Output:
	// 1.044, 1.985
	// 1.006, 2.007
	// 0.968, 2.011
	// 1.006, 1.989
}
