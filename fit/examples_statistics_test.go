package fit_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"fitcoil/fit"
)

// Rows whose lengths are right by construction need no error checked; others do.
func ExampleMust() {
	c := solved(fiveReadings()).Covariance()
	fmt.Println(fit.Must(c.With([]float64{0, 1})).Rank())
	_, err := c.With([]float64{1})
	fmt.Println(err)
	// Output:
	// 2
	// fit: row 0 has 1 elements, the problem 2 parameters
}

// The uncertainty of a line's value at 10, from that of its offset and slope.
func ExampleCovariance_Variance() {
	r := solved(fiveReadings())
	v, determined := r.Covariance().Variance([]float64{1, 10})
	fmt.Printf("%.2f, u %.3f, determined %v\n", r.X[0]+10*r.X[1], math.Sqrt(v), determined)
	// Output:
	// 20.99, u 0.051, determined true
}

// The covariance matrix of a line's values at 0 and at 4.
func ExampleCovariance_Matrix() {
	v := solved(fiveReadings()).Covariance().Matrix([][]float64{{1, 0}, {1, 4}})
	fmt.Printf("%.1e\n", v)
	// Output:
	// [2.4e-04 -8.0e-05 -8.0e-05 2.4e-04]
}

// The uncertainty budget of a slope: what each observation and each prior contributes.
func ExampleContributions() {
	p := fit.Problem{Params: 2, Data: readings([]float64{0, 4}, []float64{1.02, 8.98}, 0.02),
		Prior: fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1, Sigma: 0.02}})}
	r := solved(p)
	budget, err := fit.Contributions(p, r, r.Covariance(), []float64{0, 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for row, u := range budget {
		fmt.Printf("prior %v, row %d: %+.4f\n", row.Prior, row.Index, u)
	}
	// Output:
	// prior false, row 0: -0.0025
	// prior false, row 1: +0.0050
	// prior true, row 0: -0.0025
}

// A further row counts to the group of those that state a known value.
func ExampleShares_Add() {
	p := fiveReadings()
	known := []float64{0, 1 / 0.005} // the slope, known to ± 0.005
	c := fit.Must(solved(p).Covariance().With(known))
	shares := fit.Must(c.NewShares(p.Prior, []float64{1, 2}, 1, nil))
	if err := shares.Add(known, 0); err != nil {
		fmt.Println(err)
		return
	}
	from := make([]float64, 1)
	v, _ := shares.Of([]float64{0, 1}, from)
	fmt.Printf("%.0f %% of the variance of the slope\n", 100*from[0]/v)
	// Output:
	// 62 % of the variance of the slope
}

// How well a line fits by the stated uncertainties alone: χ², its degrees of freedom and
// the probability of a larger one.
func ExampleResult_Scatter() {
	r := solved(fiveReadings())
	s := r.Scatter()
	fmt.Printf("χ² %.2f on %d, p %.2f, largest at 5 %%: %.2f\n", s.ChiSquare, r.DegreesOfFreedom(), s.PValue, fit.LargestChiSquare(0.05, s.DegreesOfFreedom))
	fmt.Println(s.PValue == fit.ChiSquareSurvival(s.ChiSquare, float64(s.DegreesOfFreedom)))
	// Output:
	// χ² 6.60 on 3, p 0.09, largest at 5 %: 7.81
	// true
}

// Repeats of five states scatter with a variance of 2.0 on 8 degrees of freedom, and a model
// leaves one of 6.4 on 3 besides: by chance that happens in one of twelve sessions.
func ExampleRatioSurvival() {
	fmt.Printf("%.3f\n", fit.RatioSurvival(6.4/2.0, 3, 8))
	// Output: 0.084
}

// The covariance at the same solution, had the readings been twice as uncertain.
func ExampleResult_Restated() {
	r := solved(fiveReadings())
	twice := fit.Problem{Params: 2, Data: readings([]float64{0, 1, 2, 3, 4}, []float64{1.02, 2.97, 5.01, 7.03, 8.98}, 0.04)}
	c, err := r.Restated(twice)
	if err != nil {
		fmt.Println(err)
		return
	}
	before, _ := r.Covariance().Variance([]float64{0, 1})
	after, _ := c.Variance([]float64{0, 1})
	fmt.Printf("%.1f\n", math.Sqrt(after/before))
	// Output:
	// 2.0
}

// Degrees of freedom of uncertainties that scatter has enlarged.
func ExampleTrusted() {
	p := fit.Problem{Params: 2, Data: readings([]float64{0, 1, 2, 3, 4}, []float64{1.06, 2.91, 5.03, 7.09, 8.94}, 0.02)}
	r, s, err := fit.SolveScaled(p, []float64{0, 0}, fit.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.ScaleDegrees == fit.Trusted(s.Scale, s.Redundancy))
	fmt.Printf("%.1f; without a doubt in S %.1f\n", r.ScaleDegrees, fit.Doubted(s.Scale, s.Redundancy, 0))
	// Output:
	// true
	// 3.1; without a doubt in S 3.3
}

// The probability that an error of 2.5 standard uncertainties or more is chance, where
// these are known with four degrees of freedom.
func ExampleChance() {
	fmt.Printf("%.3f, and %.3f if they are sure\n", fit.Chance(2.5, 4), fit.Chance(2.5, math.Inf(1)))
	// Output:
	// 0.067, and 0.012 if they are sure
}

// An uncertainty of 0.0384 of which one digit counts is 0.04, known to half of 0.01.
func ExampleTolerance() {
	fmt.Println(fit.Tolerance(0.0384, 1))
	// Output:
	// 0.005
}

// What lies within ± 1 and no more is known of it has the standard uncertainty 1/√3;
// divided by that it is a distribution of standard deviation 1.
func ExampleRectangular() {
	rng := rand.New(rand.NewPCG(1, 2))
	most := 0.0
	for range 10_000 {
		most = math.Max(most, math.Abs(fit.Rectangular(rng)))
	}
	fmt.Printf("within ± %.2f\n", most/math.Sqrt(3))
	// Output:
	// within ± 1.00
}

// A product of two inputs about zero has tails that its standard uncertainty doesn't tell:
// the linear interval isn't confirmed by trials, and the shortest one is symmetric too.
func ExampleSample_Validate() {
	p := fit.Problem{Params: 2, Prior: fit.Gaussians(2, []fit.Gaussian{{Param: 0, Sigma: 1}, {Param: 1, Mean: 0.5, Sigma: 1}})}
	product := func(x, out []float64) { out[0] = x[0] * x[1] }
	s, err := fit.MonteCarlo(func() (fit.Problem, fit.Quantities) { return p, product }, 1, solved(p),
		fit.Distributions{}, fit.Settings{}, fit.Trials{Most: 20_000, Seed: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	u := 0.5 // of the linear law at (0, 0.5)
	_, deviation := s.Mean(0)
	low, high := s.Shortest(0, 0.95)
	fmt.Printf("%d trials: deviation %.1f, shortest interval %.1f … %.1f\n", s.Len(), deviation, low, high)
	fmt.Println("confirmed:", s.Validate(0, u, -1.96*u, 1.96*u, 1).Holds())
	// Output:
	// 20000 trials: deviation 1.1, shortest interval -2.5 … 2.4
	// confirmed: false
}
