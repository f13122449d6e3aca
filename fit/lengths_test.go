package fit_test

import (
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
)

// Whatever lengths, uncertainties and levels an entry point is given, it returns an error
// that names what is wrong, or NaN where a number is all that it returns; nothing panics.
func TestWrongLengthsAreErrors(t *testing.T) {
	p := fiveReadings()
	p.Prior = fit.Gaussians(2, []fit.Gaussian{{Param: 1, Mean: 2, Sigma: 0.1}})
	r := solved(p)
	c := r.Covariance()
	fewer := p
	fewer.Data = readings([]float64{0, 1}, []float64{1, 3}, 0.02)
	three := fit.Problem{Params: 3, Data: p.Data}
	g, short, long := []float64{0, 1}, []float64{1}, []float64{1, 2, 3}
	one := func([]float64, []float64) float64 { return 1 }
	all := func(x, out []float64) { copy(out, x) }
	trials := func(p fit.Problem, from fit.Distributions, t fit.Trials) error {
		_, err := fit.MonteCarlo(func() (fit.Problem, fit.Quantities) { return p, all }, 2, r, from, fit.Settings{}, t)
		return err
	}
	solve := func(p fit.Problem, start []float64, s fit.Settings) error {
		_, err := fit.Solve(p, start, s)
		_, _, scaled := fit.SolveScaled(p, start, s)
		if (err == nil) != (scaled == nil) {
			t.Errorf("Solve says %v, SolveScaled %v", err, scaled)
		}
		return err
	}
	prior := func(g fit.Gaussian) error {
		p := p
		p.Prior = fit.Gaussians(2, []fit.Gaussian{g})
		return solve(p, []float64{0, 0}, fit.Settings{})
	}
	second := func(_ any, err error) error { return err }
	group := func(int) int { return 0 }
	shares := fit.Must(c.NewShares(p.Prior, r.X, 1, group))
	bounded, alike := p, p
	bounded.Lower = short
	alike.Alike = math.NaN()
	nan, inf := math.NaN(), math.Inf(1)
	for _, o := range []struct {
		name, says string
		err        error
	}{
		{"Solve, start", "start has 1 elements", solve(p, short, fit.Settings{})},
		{"Solve, bounds", "1 bounds for 2", solve(bounded, g, fit.Settings{})},
		{"Solve, alike", "NaN of 5 data rows alike", solve(alike, g, fit.Settings{})},
		{"Solve, offset", "settings", solve(p, g, fit.Settings{Offset: nan})},
		{"Solve, Huber", "corners", solve(p, g, fit.Settings{Loss: fit.Huber(0)})},
		{"Solve, Huber NaN", "corners", solve(p, g, fit.Settings{Loss: fit.Huber(nan)})},
		{"Solve, Redescending", "corners", solve(p, g, fit.Settings{Loss: fit.Redescending(2, 1)})},
		{"Solve, priors of another problem", "rows of 2 derivatives", solve(fit.Problem{Params: 3, Prior: p.Prior}, long, fit.Settings{})},
		{"sigma 0", "uncertainty 0 of prior 0", prior(fit.Gaussian{Param: 0})},
		{"sigma below 0", "uncertainty -1 of prior 0", prior(fit.Gaussian{Param: 0, Sigma: -1})},
		{"sigma NaN", "uncertainty NaN of prior 0", prior(fit.Gaussian{Param: 0, Sigma: nan})},
		{"sigma infinite", "uncertainty +Inf of prior 0", prior(fit.Gaussian{Param: 0, Sigma: inf})},
		{"mean NaN", "mean NaN of prior 0", prior(fit.Gaussian{Param: 0, Mean: nan, Sigma: 1})},
		{"prior elsewhere", "parameter 2 of 2", prior(fit.Gaussian{Param: 2, Sigma: 1})},
		{"With", "row 1 has 3 elements", second(c.With(g, long))},
		{"RankRows, gradient", "gradient 0 has 1 elements", second(c.RankRows(short, [][]float64{g}))},
		{"RankRows, candidate", "candidate 1 has 1 elements", second(c.RankRows(g, [][]float64{g, short}))},
		{"PlanRows, gradient", "gradient 0 has 3 elements", second(c.PlanRows([][]float64{long}, [][]float64{g}, nil, 1))},
		{"PlanRows, no gradient", "needs a gradient", second(c.PlanRows(nil, [][]float64{g}, nil, 1))},
		{"PlanRows, candidate", "candidate 0 has 0 elements", second(c.PlanRows([][]float64{g}, [][]float64{nil}, nil, 1))},
		{"PlanRows, once", "2 marks for 1 candidates", second(c.PlanRows([][]float64{g}, [][]float64{g}, make([]bool, 2), 1))},
		{"Along, gradient", "vector 1 has 1 elements", second(c.Along(p.Prior, r.X, short))},
		{"Along, x", "vector 0 has 3 elements", second(c.Along(p.Prior, long, g))},
		{"Along, rows", "rows of 3 derivatives", second(c.Along(fit.Gaussians(3, nil), r.X, g))},
		{"NewShares, x", "vector 0 has 1 elements", second(c.NewShares(p.Prior, short, 1, group))},
		{"NewShares, group", "of group 0 of 0", second(c.NewShares(p.Prior, r.X, 0, group))},
		{"Shares.Add, group", "group 3 of 1", shares.Add(g, 3)},
		{"Shares.Add, row", "row 0 has 1 elements", shares.Add(short, 0)},
		{"Contributions, gradient", "gradient 0 has 1", second(fit.Contributions(p, r, c, short))},
		{"Contributions, problem", "data and 1 prior rows for one", second(fit.Contributions(fewer, r, c, g))},
		{"Diagnose", "2 (0), 2 and 1", second(fit.Diagnose(fewer, r))},
		{"Diagnose, nothing", "no solver wrote", second(fit.Diagnose(p, fit.Result{}))},
		{"AICc", "for one of 3", second(fit.AICc(three, r))},
		{"Restated", "for one of 3", second(r.Restated(three))},
		{"Profile", "for one of 3", second(fit.Profile(three, r, fit.Settings{}, one, 0.95))},
		{"Profile, level", "level 1 ", second(fit.Profile(p, r, fit.Settings{}, one, 1))},
		{"Profile, quantity", "level 0.95", second(fit.Profile(p, r, fit.Settings{}, nil, 0.95))},
		{"ProfileCurve", "for one of 3", second(fit.ProfileCurve(three, r, fit.Settings{}, one, 2, 3))},
		{"ProfileCurve, reach", "out to 0", second(fit.ProfileCurve(p, r, fit.Settings{}, one, 0, 3))},
		{"Contour", "for one of 3", second(fit.Contour(three, r, fit.Settings{}, one, one, 0.95, 8))},
		{"Contour, level", "level 1 ", second(fit.Contour(p, r, fit.Settings{}, one, one, 1, 8))},
		{"Contour, level 0", "level 0 ", second(fit.Contour(p, r, fit.Settings{}, one, one, 0, 8))},
		{"Contour, points", "of 0 points", second(fit.Contour(p, r, fit.Settings{}, one, one, 0.95, 0))},
		{"Contour, first", "of 8 points", second(fit.Contour(p, r, fit.Settings{}, nil, one, 0.95, 8))},
		{"Contour, second", "of 8 points", second(fit.Contour(p, r, fit.Settings{}, one, nil, 0.95, 8))},
		{"Profile, level 0", "level 0 ", second(fit.Profile(p, r, fit.Settings{}, one, 0))},
		{"ProfileCurve, points", "of 0 points out to 2", second(fit.ProfileCurve(p, r, fit.Settings{}, one, 2, 0))},
		{"ProfileCurve, quantity", "of 3 points out to 2", second(fit.ProfileCurve(p, r, fit.Settings{}, nil, 2, 3))},
		{"NewShares, group below", "row 0 is of group -1 of 1", second(c.NewShares(p.Prior, r.X, 1, func(int) int { return -1 }))},
		{"NewShares, group beyond", "row 0 is of group 1 of 1", second(c.NewShares(p.Prior, r.X, 1, func(int) int { return 1 }))},
		{"Shares.Add, group beyond", "group 1 of 1", shares.Add(g, 1)},
		{"Shares.Add, group below", "group -1 of 1", shares.Add(g, -1)},
		{"prior nowhere", "parameter -1 of 2", prior(fit.Gaussian{Param: -1, Sigma: 1})},
		{"mean infinite", "mean -Inf of prior 0", prior(fit.Gaussian{Mean: -inf, Sigma: 1})},
		{"Solve, too alike", "5.1 of 5 data rows alike", solve(fit.Problem{Params: 2, Data: p.Data, Alike: 5.1}, g, fit.Settings{})},
		{"Solve, alike below", "-0.1 of 5 data rows alike", solve(fit.Problem{Params: 2, Data: p.Data, Alike: -0.1}, g, fit.Settings{})},
		{"Solve, own below", "-1 own parameters of 2", solve(fit.Problem{Params: 2, Data: p.Data, Own: -1}, g, fit.Settings{})},
		{"Solve, all own", "2 own parameters of 2", solve(fit.Problem{Params: 2, Data: p.Data, Own: 2}, g, fit.Settings{})},
		{"Solve, start infinite", "start of parameter 1 is not finite", solve(p, []float64{0, inf}, fit.Settings{})},
		{"Solve, crossed", "bounds 3 and 2 of parameter 1 leave no room", solve(fit.Problem{Params: 2, Data: p.Data, Lower: []float64{0, 3}, Upper: []float64{1, 2}}, g, fit.Settings{})},
		{"Solve, start below", "start 1 of parameter 1 is outside its bounds 1.5 and 2", solve(fit.Problem{Params: 2, Data: p.Data, Lower: []float64{0, 1.5}, Upper: []float64{1, 2}}, g, fit.Settings{})},
		{"Solve, upper bounds", "3 bounds for 2 parameters", solve(fit.Problem{Params: 2, Data: p.Data, Upper: long}, g, fit.Settings{})},
		{"Solve, no function", "3 rows without a function", solve(fit.Problem{Params: 2, Data: fit.Rows{N: 3}}, g, fit.Settings{})},
		{"Solve, own rows", "own parameters of 2 rows for 5 rows and 1 own parameters", solve(fit.Problem{Params: 2, Own: 1, Data: fit.Rows{N: 5, Own: []int{0, 0}, Evaluate: p.Data.Evaluate}}, g, fit.Settings{})},
		{"Solve, own elsewhere", "row 3 hangs on own parameter 1 of 1", solve(fit.Problem{Params: 2, Own: 1, Data: fit.Rows{N: 5, Own: []int{0, 0, -1, 1, 0}, Evaluate: p.Data.Evaluate}}, g, fit.Settings{})},
		{"Solve, iterations", "settings", solve(p, g, fit.Settings{MaxIterations: -1})},
		{"Solve, block", "settings", solve(p, g, fit.Settings{BlockRows: -1})},
		{"Solve, radius", "settings", solve(p, g, fit.Settings{FirstRadius: -1})},
		{"Solve, Redescending, corners alike", "corners", solve(p, g, fit.Settings{Loss: fit.Redescending(2, 2)})},
		{"MonteCarlo, prior distributions", "2 distributions for 1 rows", trials(p, fit.Distributions{Prior: make([]fit.Distribution, 2)}, fit.Trials{Most: 1})},
		{"MonteCarlo, doubts", "2 distributions for 1 rows", trials(p, fit.Distributions{Doubtful: make([]bool, 2), DoubtDegrees: 3}, fit.Trials{Most: 1})},
		{"MonteCarlo, digits", "-1 digits", trials(p, fit.Distributions{}, fit.Trials{Most: 1, Digits: -1})},
		{"MonteCarlo, level 1", "level 1,", trials(p, fit.Distributions{}, fit.Trials{Most: 1, Level: 1})},
		{"MonteCarlo, level below", "level -0.5,", trials(p, fit.Distributions{}, fit.Trials{Most: 1, Level: -0.5})},
		{"MonteCarlo", "for one of 3", trials(three, fit.Distributions{}, fit.Trials{Most: 1})},
		{"MonteCarlo, distributions", "1 distributions for 5 rows", trials(p, fit.Distributions{Data: make([]fit.Distribution, 1)}, fit.Trials{Most: 1})},
		{"MonteCarlo, doubt", "0 degrees", trials(p, fit.Distributions{Doubtful: make([]bool, 1)}, fit.Trials{Most: 1})},
		{"MonteCarlo, trials", "-1 trials", trials(p, fit.Distributions{}, fit.Trials{Most: -1})},
		{"MonteCarlo, level", "level 2", trials(p, fit.Distributions{}, fit.Trials{Most: 1, Level: 2})},
	} {
		if o.err == nil || !strings.Contains(o.err.Error(), o.says) {
			t.Errorf("%s: %v, want one that says %q", o.name, o.err, o.says)
		}
	}
	all5 := p
	all5.Alike = 5
	for name, err := range map[string]error{ // just within
		"Contour": second(fit.Contour(p, r, fit.Settings{}, one, one, 0.999, 1)), "Profile": second(fit.Profile(p, r, fit.Settings{}, one, 0.001)), "ProfileCurve": second(fit.ProfileCurve(p, r, fit.Settings{}, one, 0.01, 1)),
		"NewShares": second(c.NewShares(p.Prior, r.X, 2, func(int) int { return 1 })), "Shares.Add": shares.Add(g, 0), "alike": solve(all5, g, fit.Settings{}),
		"doubt": trials(p, fit.Distributions{Doubtful: make([]bool, 1), DoubtDegrees: 0.1}, fit.Trials{Most: 1}), "level": trials(p, fit.Distributions{}, fit.Trials{Most: 1, Level: 0.999}),
		"own": solve(fit.Problem{Params: 2, Data: p.Data, Own: 1}, g, fit.Settings{}), "corners": solve(p, g, fit.Settings{Loss: fit.Redescending(2, 2.1)}),
	} {
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	s := fit.Must(fit.MonteCarlo(func() (fit.Problem, fit.Quantities) { return p, all }, 2, r, fit.Distributions{}, fit.Settings{}, fit.Trials{Most: 10}))
	first := func(a, _ float64) float64 { return a }
	number := func(v float64, _ bool) float64 { return v }
	for name, v := range map[string]float64{
		"Variance": number(c.Variance(long)), "Variance of nothing": number(fit.Result{}.Covariance().Variance(nil)),
		"Between": c.Between(g, short), "Matrix": fit.Must(c.With()).Matrix([][]float64{short})[0],
		"Shares.Of": number(shares.Of(short, make([]float64, 1))), "Shares.Of, shares": number(shares.Of(g, nil)),
		"JointFactor": fit.JointFactor(1, 3), "JointFactor NaN": fit.JointFactor(nan, 3), "JointFactor of none": fit.JointFactor(0.95, 0),
		"CoverageFactor": fit.CoverageFactor(1, 3), "CoverageFactor NaN": fit.CoverageFactor(nan, 3),
		"ChiSquareSurvival": fit.ChiSquareSurvival(1, 0), "LargestChiSquare": fit.LargestChiSquare(2, 3), "LargestChiSquare of none": fit.LargestChiSquare(0.05, 0),
		"Chance": fit.Chance(nan, 3), "Chance of none": fit.Chance(1, 0),
		"Mean": first(s.Mean(2)), "Interval": first(s.Interval(-1, 0.95)), "Shortest": first(s.Shortest(2, 0.95)), "Validate": s.Validate(7, 1, 0, 1, 1).Low,
	} {
		if !math.IsNaN(v) {
			t.Errorf("%s: %v, want NaN", name, v)
		}
	}
	if _, ok := fit.Whiten(g, 2); ok {
		t.Error("a matrix of two elements is whitened")
	}
	if fit.Tolerance(nan, 1) != 0 || (fit.Result{}).DegreesOfFreedom() != 0 {
		t.Error("something comes of nothing")
	}
}
