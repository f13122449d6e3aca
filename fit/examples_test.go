package fit_test

import (
	"errors"
	"fmt"
	"math"

	"fitcoil/fit"
)

// readings are rows of a straight line y = b₀ + b₁x through values each read to ± u.
func readings(x, y []float64, u float64) fit.Rows {
	return fit.Rows{N: len(x), Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			t := x[first+i]
			r[i] = (y[first+i] - b[0] - b[1]*t) / u
			if jac != nil {
				jac[2*i], jac[2*i+1] = -1/u, -t/u
			}
		}
	}}
}

// fiveReadings is a line of slope 2 from 1.
func fiveReadings() fit.Problem {
	return fit.Problem{Params: 2, Data: readings([]float64{0, 1, 2, 3, 4}, []float64{1.02, 2.97, 5.01, 7.03, 8.98}, 0.02)}
}

func solved(p fit.Problem) fit.Result {
	r, err := fit.Solve(p, make([]float64, p.Params), fit.Settings{})
	if err != nil || !r.Status.Converged() {
		panic(fmt.Sprint(err, r.Status))
	}
	return r
}

// A decay, of which the rate is found with its uncertainty.
func ExampleSolve() {
	t := []float64{0, 1, 2, 3}
	y := []float64{2.01, 1.21, 0.74, 0.45}
	const u = 0.01
	p := fit.Problem{Params: 2, Data: fit.Rows{N: len(t), Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			e := math.Exp(-b[1] * t[first+i])
			r[i] = (y[first+i] - b[0]*e) / u
			if jac != nil {
				jac[2*i], jac[2*i+1] = -e/u, b[0]*t[first+i]*e/u
			}
		}
	}}}
	r, err := fit.Solve(p, []float64{1, 1}, fit.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v, _ := r.Covariance().Variance([]float64{0, 1})
	fmt.Printf("%v; rate %.3f, u %.3f\n", r.Status.Converged(), r.X[1], math.Sqrt(v))
	// Output:
	// true; rate 0.501, u 0.005
}

// Uncertainties that were stated too small are enlarged by what the scatter shows.
func ExampleSolveScaled() {
	p := fit.Problem{Params: 2, Data: readings([]float64{0, 1, 2, 3, 4}, []float64{1.06, 2.91, 5.03, 7.09, 8.94}, 0.02)}
	r, scatter, err := fit.SolveScaled(p, []float64{0, 0}, fit.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	v, _ := r.Covariance().Variance([]float64{0, 1})
	k := fit.CoverageFactor(0.95, r.ScaleDegrees)
	fmt.Printf("S %.2f, slope %.3f, u %.3f, k %.2f\n", scatter.Scale, r.X[1], math.Sqrt(v), k)
	// Output:
	// S 4.45, slope 1.994, u 0.028, k 3.12
}

// The readings give the sum of two parameters only; what is known of one splits it.
func ExampleGaussians() {
	p := fit.Problem{
		Params: 2,
		Data: fit.Rows{N: 1, Evaluate: func(b []float64, _ int, r, jac []float64) {
			r[0] = (5 - b[0] - b[1]) / 0.1
			if jac != nil {
				jac[0], jac[1] = -10, -10
			}
		}},
		Prior: fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 2, Sigma: 0.3}}),
	}
	r := solved(p)
	v, _ := r.Covariance().Variance([]float64{0, 1})
	fmt.Printf("%.2f and %.2f, u %.3f\n", r.X[0], r.X[1], math.Sqrt(v))
	// Output:
	// 2.00 and 3.00, u 0.316
}

// Two blocks of what is known of one value make one: 4 ± 0.3 and 4.5 ± 0.4, of which the mean
// weighed by 1/u² is 4.18 ± 0.24.
func ExampleJoin() {
	known := func(mean, u float64) fit.Rows { return fit.Gaussians(1, []fit.Gaussian{{Mean: mean, Sigma: u}}) }
	r := solved(fit.Problem{Params: 1, Prior: fit.Join(1, known(4, 0.3), known(4.5, 0.4))})
	v, _ := r.Covariance().Variance([]float64{1})
	fmt.Printf("%.2f, u %.2f\n", r.X[0], math.Sqrt(v))
	// Output:
	// 4.18, u 0.24
}

// Weights of three boxes on a scale that is off by an unknown amount: each box stands in
// two readings, so that its weight is an own parameter, and only the offset is common.
func ExampleOwnGaussians() {
	box := []int{0, 0, 1, 1, 2, 2}
	read := []float64{10.3, 10.5, 20.4, 20.2, 30.5, 30.3}
	nominal := []fit.Gaussian{{Param: 1, Mean: 10, Sigma: 0.1}, {Param: 2, Mean: 20, Sigma: 0.1}, {Param: 3, Mean: 30, Sigma: 0.1}}
	p := fit.Problem{
		Params: 4, Own: 3,
		Data: fit.Rows{N: len(read), Own: box, Evaluate: func(x []float64, first int, r, jac []float64) {
			for i := range r {
				k := first + i
				r[i] = (read[k] - x[0] - x[1+box[k]]) / 0.1
				if jac != nil { // by the offset, and by the box of this row
					jac[2*i], jac[2*i+1] = -10, -10
				}
			}
		}},
		Prior: fit.OwnGaussians(4, 3, nominal),
	}
	r := solved(p)
	v, _ := r.Covariance().Variance([]float64{1, 0, 0, 0})
	fmt.Printf("offset %.3f, u %.3f\n", r.X[0], math.Sqrt(v))
	// Output:
	// offset 0.367, u 0.071
}

// An Evaluate that forgets the derivatives is told so.
func ExampleErrUnwritten() {
	p := fit.Problem{Params: 1, Data: fit.Rows{N: 1, Evaluate: func(b []float64, _ int, r, jac []float64) { r[0] = b[0] - 3 }}}
	_, err := fit.Solve(p, []float64{0}, fit.Settings{})
	fmt.Println(errors.Is(err, fit.ErrUnwritten), err)
	// Output:
	// true fit: derivative 0 of data row 0: not written by Evaluate
}

// The covariance of two quantities, here of the line's values at 0 and at 4.
func ExampleCovariance_Between() {
	c := solved(fiveReadings()).Covariance()
	first, last := []float64{1, 0}, []float64{1, 4}
	v, _ := c.Variance(first)
	w, _ := c.Variance(last)
	fmt.Printf("correlation %.3f\n", c.Between(first, last)/math.Sqrt(v*w))
	// Output:
	// correlation -0.333
}

// Readings all in one place say nothing on the slope.
func ExampleCovariance_Variance_undetermined() {
	c := solved(fit.Problem{Params: 2, Data: readings([]float64{2, 2}, []float64{5.01, 4.99}, 0.02)}).Covariance()
	_, determined := c.Variance([]float64{0, 1})
	fmt.Println("slope:", determined)
	_, determined = c.Variance([]float64{1, 2})
	fmt.Println("value at 2:", determined)
	// Output:
	// slope: false
	// value at 2: true
}

// What one more reading would do to the uncertainty of the slope, before it is taken.
func ExampleCovariance_With() {
	c := solved(fiveReadings()).Covariance()
	slope, at8 := []float64{0, 1}, []float64{-1 / 0.02, -8 / 0.02} // of a reading at 8, ± 0.02
	now, _ := c.Variance(slope)
	then, _ := fit.Must(c.With(at8)).Variance(slope)
	fmt.Printf("%.4f, then %.4f\n", math.Sqrt(now), math.Sqrt(then))
	// Output:
	// 0.0063, then 0.0032
}

// Of readings at 0, 2 and 10 that at 10 says most on the slope.
func ExampleCovariance_RankRows() {
	c := solved(fiveReadings()).Covariance()
	at := []float64{0, 2, 10}
	var rows [][]float64
	for _, x := range at {
		rows = append(rows, []float64{-1 / 0.02, -x / 0.02})
	}
	for _, g := range fit.Must(c.RankRows([]float64{0, 1}, rows)) {
		fmt.Printf("at %g: u %.4f\n", at[g.Candidate], math.Sqrt(g.Variance))
	}
	// Output:
	// at 10: u 0.0025
	// at 0: u 0.0055
	// at 2: u 0.0063
}

// Two readings for a line's slope, if 0 and 10 are within reach: one at either end.
func ExampleCovariance_PlanRows() {
	var none fit.Problem
	none.Params = 2
	none.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Sigma: 100}, {Param: 1, Sigma: 100}})
	c := solved(none).Covariance()
	at := []float64{0, 5, 10}
	var rows [][]float64
	for _, x := range at {
		rows = append(rows, []float64{-1 / 0.02, -x / 0.02})
	}
	for _, g := range fit.Must(c.PlanRows([][]float64{{0, 1}}, rows, nil, 2)).Exchanged {
		fmt.Printf("at %g\n", at[g.Candidate])
	}
	// Unordered output:
	// at 10
	// at 0
}

// By how much a quantity shifts per standard uncertainty of a prior: all of an offset
// that the readings say nothing of.
func ExampleCovariance_Along() {
	p := fiveReadings()
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 1, Mean: 2, Sigma: 0.001}})
	r := solved(p)
	shift := fit.Must(r.Covariance().Along(p.Prior, r.X, []float64{0, 1}))
	fmt.Printf("%.4f\n", shift[0])
	// Output:
	// 0.0010
}

// What share of a variance comes from each group of priors.
func ExampleCovariance_NewShares() {
	p := fiveReadings()
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 0, Mean: 1, Sigma: 0.01}, {Param: 1, Mean: 2, Sigma: 0.005}})
	r := solved(p)
	shares := fit.Must(r.Covariance().NewShares(p.Prior, r.X, 2, func(row int) int { return row }))
	from := make([]float64, 2)
	v, _ := shares.Of([]float64{0, 1}, from)
	fmt.Printf("from the first %.0f %%, from the second %.0f %%\n", 100*from[0]/v, 100*from[1]/v)
	// Output:
	// from the first 14 %, from the second 46 %
}

// A reading that is off stands out by its studentised residual.
func ExampleDiagnose() {
	p := fit.Problem{Params: 2, Data: readings([]float64{0, 1, 2, 3, 4}, []float64{1.02, 2.97, 5.51, 7.03, 8.98}, 0.02)}
	for i, d := range fit.Must(fit.Diagnose(p, solved(p))) {
		fmt.Printf("row %d: leverage %.1f, studentised %+.1f\n", i, d.Leverage, d.Studentised)
	}
	// Output:
	// row 0: leverage 0.6, studentised -6.8
	// row 1: leverage 0.3, studentised -8.0
	// row 2: leverage 0.2, studentised +22.8
	// row 3: leverage 0.3, studentised -4.2
	// row 4: leverage 0.6, studentised -9.3
}

// Huber's loss keeps a reading far off from pulling the others along; the loss that ends
// in a biweight forgets it. (With Huber's, all rows count by one efficiency.)
func ExampleHuber() {
	p := fit.Problem{Params: 2, Data: readings([]float64{0, 1, 2, 3, 4, 5, 6}, []float64{1.02, 2.97, 5.01, 9.03, 8.98, 11.01, 12.99}, 0.02)}
	for _, loss := range []fit.Loss{{}, fit.Huber(1.345), fit.Redescending(1.345, 4.685)} {
		r, _, err := fit.SolveScaled(p, []float64{0, 0}, fit.Settings{Loss: loss})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.2f + %.2f x, that reading × %.2f\n", r.X[0], r.X[1], r.RowWeights()[3]*r.Scale)
	}
	// Output:
	// 1.29 + 2.00 x, that reading × 1.00
	// 1.01 + 2.00 x, that reading × 0.97
	// 1.00 + 2.00 x, that reading × 0.00
}

// The interval of a rate, which reaches further up than down: a fast decay leaves little to
// tell how fast.
func ExampleProfile() {
	t := []float64{1, 2, 3}
	y := []float64{0.30, 0.12, 0.03}
	p := fit.Problem{Params: 1, Data: fit.Rows{N: len(t), Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			e := math.Exp(-b[0] * t[first+i])
			r[i] = (y[first+i] - e) / 0.1
			if jac != nil {
				jac[i] = t[first+i] * e / 0.1
			}
		}
	}}}
	r, err := fit.Solve(p, []float64{1}, fit.Settings{})
	if err != nil {
		fmt.Println(err)
		return
	}
	i := fit.Must(fit.Profile(p, r, fit.Settings{}, func(x, grad []float64) float64 {
		if grad != nil {
			grad[0] = 1
		}
		return x[0]
	}, 0.95))
	fmt.Printf("%.2f, from %.2f to %.2f\n", r.X[0], i.Lo, i.Hi)
	// Output:
	// 1.16, from 0.77 to 2.02
}

// The ends of the interval of ExampleProfile at one standard uncertainty, to second order.
func ExampleNewEnds() {
	t := []float64{1, 2, 3}
	y := []float64{0.30, 0.12, 0.03}
	p := fit.Problem{Params: 1, Data: fit.Rows{N: len(t), Evaluate: func(b []float64, first int, r, jac []float64) {
		for i := range r {
			e := math.Exp(-b[0] * t[first+i])
			r[i] = (y[first+i] - e) / 0.1
			if jac != nil {
				jac[i] = t[first+i] * e / 0.1
			}
		}
	}}}
	rate := func(x, grad []float64) float64 {
		if grad != nil {
			grad[0] = 1
		}
		return x[0]
	}
	r := fit.Must(fit.Solve(p, []float64{1}, fit.Settings{}))
	ends, ok, err := fit.NewEnds(p, r, fit.Settings{})
	lo, hi := ends.Of(rate, 1)
	exact := fit.Must(fit.Profile(p, r, fit.Settings{}, rate, 0.6827))
	fmt.Printf("%v %v: %.2f to %.2f, by the profile %.2f to %.2f\n", ok, err, lo, hi, exact.Lo, exact.Hi)
	// Output:
	// true <nil>: 0.94 to 1.48, by the profile 0.94 to 1.49
}

// Corrected Akaike's criterion prefers the line to a constant where the slope is real.
func ExampleAICc() {
	line := fiveReadings()
	flat := line
	flat.Upper, flat.Lower = []float64{100, 0}, []float64{-100, 0} // a slope kept at zero
	fmt.Println(fit.Must(fit.AICc(line, solved(line))) < fit.Must(fit.AICc(flat, solved(flat))))
	// Output:
	// true
}

// Factors of intervals of 95 %: of the normal distribution, and of Student's with three
// degrees of freedom.
func ExampleCoverageFactor() {
	fmt.Printf("%.2f %.2f\n", fit.CoverageFactor(0.95, math.Inf(1)), fit.CoverageFactor(0.95, 3))
	// Output:
	// 1.96 3.18
}

// JCGM 101:2008, 9.2.2: the sum of four inputs, each normal about 0 with 1; exact are 2,
// and ± 3.92.
func ExampleMonteCarlo() {
	inputs := []fit.Gaussian{{Param: 0, Sigma: 1}, {Param: 1, Sigma: 1}, {Param: 2, Sigma: 1}, {Param: 3, Sigma: 1}}
	p := fit.Problem{Params: 4, Prior: fit.Gaussians(4, inputs)}
	sum := func(x, out []float64) { out[0] = x[0] + x[1] + x[2] + x[3] }
	s := fit.Must(fit.MonteCarlo(func() (fit.Problem, fit.Quantities) { return p, sum }, 1, solved(p),
		fit.Distributions{}, fit.Settings{}, fit.Trials{Most: 40_000, Seed: 2}))
	_, u := s.Mean(0)
	low, high := s.Interval(0, 0.95)
	fmt.Printf("u %.1f, ± %.1f\n", u, (high-low)/2)
	// Output:
	// u 2.0, ± 3.9
}

// Two inputs known with ± 3 and ± 2 and a covariance of 4 become two rows by the matrix
// that whitens them.
func ExampleWhiten() {
	w, ok := fit.Whiten([]float64{9, 4, 4, 4}, 2)
	fmt.Printf("%v %.4f\n", ok, w)
	// Output:
	// true [0.3333 0.0000 -0.2981 0.6708]
}
