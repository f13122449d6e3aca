package fit

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/workers"
)

// Quantities computes any number of quantities from the parameters.
type Quantities func(x, out []float64)

// Trials says how many random trials are made. Trial i draws from its own generator, PCG
// seeded with (Seed, i), so that results depend on nothing else: not on the number of
// workers, nor on the order in which trials run.
type Trials struct {
	Most    int // no more than this many
	Seed    uint64
	Workers int // 0 means 1
	// Digits is the number of significant digits of standard uncertainties that mean
	// something: trials go on until means, standard deviations and the ends of coverage
	// intervals of all quantities are settled to a fifth of the tolerance that this implies
	// (see Tolerance). 0 makes Most of them.
	Digits int
	Level  float64        // of the intervals that have to settle; 0 means 0.95
	Done   func(done int) // called now and then, unless nil
}

// batchTrials is the number of trials in a batch (JCGM 101:2008, 7.9.4 b).
const batchTrials = 10_000

// MonteCarlo propagates the distributions of all rows (JCGM 101:2008): each trial shifts
// every observation and every prior by a draw from its distribution times its standard
// uncertainty, solves again from r.X, and computes the n quantities.
//
// Where the scatter of the data has enlarged their uncertainties by a Scale known with few
// ScaleDegrees, all data errors of a trial are multiplied by one factor √(ν/χ²_ν), so that
// they have Student's distribution.
//
// problem is called once for each worker, for a problem and quantities of its own. It is an
// error if r is of another one, there are not as many distributions as rows, or t is out of range.
func MonteCarlo(problem func() (Problem, Quantities), n int, r Result, from Distributions, s Settings, t Trials) (Sample, error) {
	if t.Level == 0 {
		t.Level = 0.95
	}
	if n < 0 || t.Most < 0 || t.Digits < 0 || !(t.Level > 0 && t.Level < 1) {
		return Sample{}, fmt.Errorf("fit: no %d trials of %d quantities, level %g, %d digits", t.Most, n, t.Level, t.Digits)
	}
	crews := make([]*crew, max(1, t.Workers))
	for w := range crews {
		p, q := problem()
		if err := errors.Join(r.solves(p), check(p, r.X, s), from.check(p)); err != nil {
			return Sample{}, err
		}
		crews[w] = newCrew(p, q, r, from, s)
	}
	all := make([]float64, 0, n*min(t.Most, batchTrials))
	var rule stopping
	sample := Sample{Level: t.Level}
	for first := 0; first < t.Most && !sample.Settled; first += batchTrials {
		m := min(batchTrials, t.Most-first)
		all = append(all, make([]float64, m*n)...)
		batch := all[first*n:]
		workers.On(len(crews), func(w int) {
			for i := w; i < m; i += len(crews) {
				crews[w].trial(t.Seed, uint64(first+i), batch[i*n:][:n])
			}
		})
		if t.Done != nil {
			t.Done(first + m)
		}
		if t.Digits > 0 && m == batchTrials {
			sample.Settled = rule.settled(newSample(batch, n, t.Level, len(crews)), t.Digits)
		}
	}
	settled := sample.Settled
	sample = newSample(all, n, t.Level, len(crews))
	sample.Settled = settled
	return sample, nil
}

// crew is what one worker needs for its trials.
type crew struct {
	refit      *refitter
	quantities Quantities
	from       Distributions
	source     *rand.PCG
	rng        *rand.Rand
}

func newCrew(p Problem, q Quantities, r Result, from Distributions, s Settings) *crew {
	source := rand.NewPCG(0, 0)
	return &crew{newRefitter(p, r, s), q, from, source, rand.New(source)}
}

// trial writes the quantities of one trial, NaN where no solution was found.
func (c *crew) trial(seed, i uint64, out []float64) {
	c.source.Seed(seed, i)
	scale := c.refit.r.Scale
	if degrees := c.refit.r.ScaleDegrees; !math.IsInf(degrees, 1) {
		scale *= doubt(c.rng, degrees)
	}
	draw(c.rng, c.from.Data, scale, c.refit.data)
	draw(c.rng, c.from.Prior, 1, c.refit.prior)
	if c.from.Doubtful != nil {
		factor := doubt(c.rng, c.from.DoubtDegrees)
		for i, is := range c.from.Doubtful {
			if is {
				c.refit.prior[i] *= factor
			}
		}
	}
	x, ok := c.refit.solve()
	if ok {
		c.quantities(x, out)
		return
	}
	for k := range out {
		out[k] = math.NaN()
	}
}

// Distribution draws from a distribution of mean 0 and standard deviation 1. A nil
// Distribution is the normal one.
type Distribution func(rng *rand.Rand) float64

// Rectangular is the distribution of what is known to lie within limits and no more
// (JCGM 101:2008, 6.4.2), as what rounding took away.
func Rectangular(rng *rand.Rand) float64 { return math.Sqrt(3) * (2*rng.Float64() - 1) }

// Distributions are those of the errors of a problem's rows: nil, or as many as there are
// rows of a kind.
type Distributions struct {
	Data, Prior []Distribution
	// Doubtful are prior rows whose uncertainties have a common factor that is known with
	// DoubtDegrees degrees of freedom, as the Scale of the data has; nil for none.
	Doubtful     []bool
	DoubtDegrees float64
}

// check returns an error unless there are as many as rows of p.
func (d *Distributions) check(p Problem) error {
	for _, c := range []struct{ got, want int }{{len(d.Data), p.Data.N}, {len(d.Prior), p.Prior.N}, {len(d.Doubtful), p.Prior.N}} {
		if c.got != 0 && c.got != c.want {
			return fmt.Errorf("fit: %d distributions for %d rows", c.got, c.want)
		}
	}
	if d.Doubtful != nil && !(d.DoubtDegrees > 0) {
		return fmt.Errorf("fit: uncertainties known with %g degrees of freedom", d.DoubtDegrees)
	}
	return nil
}

// draw writes one draw for each row, times u.
func draw(rng *rand.Rand, from []Distribution, u float64, to []float64) {
	for i := range to {
		if len(from) > 0 && from[i] != nil {
			to[i] = u * from[i](rng)
		} else {
			to[i] = u * rng.NormFloat64()
		}
	}
}

// doubt draws the factor by which an uncertainty known with so many degrees of freedom is
// off, √(ν/χ²): with it normal errors have Student's distribution (JCGM 101:2008, 6.4.9).
func doubt(rng *rand.Rand, degrees float64) float64 {
	if degrees > 1e6 {
		return 1
	}
	return math.Sqrt(degrees / distuv.ChiSquared{K: degrees, Src: rng}.Rand())
}
