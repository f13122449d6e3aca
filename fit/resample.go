package fit

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Resampling is a number of random trials. Trial i draws from its own
// generator, PCG seeded with (Seed, i), so that results depend on nothing else:
// not on the number of workers, nor on the order in which trials run.
type Resampling struct {
	Trials  int
	Seed    uint64
	Workers int // 0 means 1
}

// Each runs all trials, on Workers goroutines. If one panics, so does Each, with a
// WorkerPanic.
func (m Resampling) Each(trial func(i int, rng *rand.Rand)) {
	workers := max(1, min(m.Workers, m.Trials))
	OnWorkers(workers, func(w int) {
		for i := w; i < m.Trials; i += workers {
			trial(i, rand.New(rand.NewPCG(m.Seed, uint64(i))))
		}
	})
}

// Sample holds the values of several quantities in all trials that converged.
type Sample struct {
	// Values has one slice a quantity, in the order of trials.
	Values [][]float64
	// Failed is the number of trials without a converged solution. They are
	// missing from Values: a large share of them voids the sample.
	Failed int
}

// Quantities computes any number of quantities from the parameters.
type Quantities func(x, out []float64)

// MonteCarlo propagates the distributions of all rows (JCGM 101:2008): each
// trial shifts every observation and every prior by a normal deviate of its
// standard uncertainty (times Scale for data), solves again from r.X, and
// computes the n quantities.
func MonteCarlo(p Problem, r Result, s Settings, m Resampling, n int, quantities Quantities) Sample {
	draw := func(rng *rand.Rand, data, prior []float64) {
		normal(rng, data, r.Scale)
		normal(rng, prior, 1)
	}
	return resample(p, r, s, m, n, quantities, draw)
}

// Bootstrap is for data whose uncertainties are not trusted, even relative to
// each other: each trial puts observations at the fitted value plus or minus,
// at random, their own residual/(1 − leverage), which is honest about unequal
// scatter and keeps every state of the design (the wild bootstrap: C. F. J. Wu,
// Ann. Statist. 14, 1986, 1261–1295; signs of equal probability: R. Davidson
// and E. Flachaire, J. Econometrics 146, 2008, 162–169). A row that alone
// determines something has no residual to go by and is drawn from its stated
// uncertainty times Scale; priors are drawn as in MonteCarlo.
func Bootstrap(p Problem, r Result, s Settings, m Resampling, n int, quantities Quantities) Sample {
	residual := make([]float64, 0, p.Data.N)
	size := make([]float64, 0, p.Data.N)
	for d := range Diagnostics(p, r) {
		if d.Row.Prior {
			break
		}
		residual = append(residual, d.Residual*r.Scale)
		free := 1 - d.Leverage
		if free <= alone {
			free = math.Inf(1) // size 0: drawn as normal
		}
		size = append(size, d.Residual*r.Scale/free)
	}
	draw := func(rng *rand.Rand, data, prior []float64) {
		for i := range data {
			e := size[i]
			switch {
			case e == 0:
				e = rng.NormFloat64() * r.Scale
			case rng.Uint64()&1 == 0:
				e = -e
			}
			data[i] = e - residual[i]
		}
		normal(rng, prior, 1)
	}
	return resample(p, r, s, m, n, quantities, draw)
}

func normal(rng *rand.Rand, shift []float64, u float64) {
	for i := range shift {
		shift[i] = rng.NormFloat64() * u
	}
}

// resample solves again in each trial with the residuals shifted as drawn.
func resample(p Problem, r Result, s Settings, m Resampling, n int, quantities Quantities,
	draw func(rng *rand.Rand, data, prior []float64)) Sample {
	s.Workers = 1 // trials are shared among workers, not rows
	s.Loss = r.loss
	all := make([]float64, m.Trials*n)
	failed := make([]bool, m.Trials)
	m.Each(func(i int, rng *rand.Rand) {
		data, prior := make([]float64, p.Data.N), make([]float64, p.Prior.N)
		draw(rng, data, prior)
		q := p
		q.Data, q.Prior = shifted(p.Data, data), shifted(p.Prior, prior)
		t := solveAt(q.weighted(r.weights), r.X, s, r.Scale)
		if failed[i] = !t.Status.Converged(); !failed[i] {
			quantities(t.X, all[i*n:][:n])
		}
	})
	sample := Sample{Values: make([][]float64, n)}
	for i, f := range failed {
		if f {
			sample.Failed++
			continue
		}
		for k := range n {
			sample.Values[k] = append(sample.Values[k], all[i*n+k])
		}
	}
	return sample
}

func shifted(e Rows, by []float64) Rows {
	return Rows{N: e.N, Own: e.Own, Evaluate: func(x []float64, first int, r, jac []float64) {
		e.Evaluate(x, first, r, jac)
		for i := range r {
			r[i] += by[first+i]
		}
	}}
}

// Mean returns the mean of quantity k, and the standard deviation over trials,
// which is its standard uncertainty.
func (s Sample) Mean(k int) (mean, deviation float64) {
	v := s.Values[k]
	for _, x := range v {
		mean += x
	}
	mean /= float64(len(v))
	for _, x := range v {
		deviation += (x - mean) * (x - mean)
	}
	return mean, math.Sqrt(deviation / float64(len(v)-1))
}

// Interval returns the probabilistically symmetric coverage interval of
// quantity k (JCGM 101:2008, 7.7): equal shares of trials lie below and above.
func (s Sample) Interval(k int, level float64) (lo, hi float64) {
	v := slices.Sorted(slices.Values(s.Values[k]))
	if len(v) == 0 {
		return math.NaN(), math.NaN()
	}
	outside := (1 - level) / 2 * float64(len(v))
	cut := min(int(outside+0.5), (len(v)-1)/2)
	return v[cut], v[len(v)-1-cut]
}
