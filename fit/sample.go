package fit

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"fitcoil/workers"
)

// Sample holds the values of several quantities in all trials that converged.
type Sample struct {
	// Values has one slice a quantity, in ascending order.
	Values [][]float64
	// Failed is the number of trials without a converged solution, or in which a quantity
	// is no number. They are missing from Values: a large share of them voids the sample.
	Failed int
	Level  float64
	// Settled tells that trials ended since their numerical tolerance was reached.
	Settled bool

	mean, deviation []float64
}

// newSample sorts trials, of n quantities each, on several goroutines.
func newSample(trials []float64, n int, level float64, crews int) Sample {
	s := Sample{Values: make([][]float64, n), Level: level, mean: make([]float64, n), deviation: make([]float64, n)}
	good := make([]bool, len(trials)/max(1, n))
	for i := range good {
		good[i] = true
		for _, v := range trials[i*n:][:n] {
			good[i] = good[i] && !math.IsNaN(v) && !math.IsInf(v, 0)
		}
		if !good[i] {
			s.Failed++
		}
	}
	workers.On(crews, func(w int) {
		for k := w; k < n; k += crews {
			v := make([]float64, 0, len(good)-s.Failed)
			for i, ok := range good {
				if ok {
					v = append(v, trials[i*n+k])
				}
			}
			s.mean[k], s.deviation[k] = stat.MeanStdDev(v, nil)
			slices.Sort(v)
			if byFew(v) {
				s.mean[k], s.deviation[k] = math.NaN(), math.NaN()
			}
			s.Values[k] = v
		}
	})
	return s
}

// byFew tells whether one in a thousand trials, the furthest from the median, makes more than half
// of the squares. Of a normal distribution it makes 0.01, of Student's t with 3 degrees of freedom
// 0.2; where it makes more, the distribution has no variance, or none that so many trials find: so
// is that of the exponential of Student's t. v is in ascending order.
func byFew(v []float64) bool {
	lo, hi := 0, len(v)-1
	if len(v) < 1000 {
		return false
	}
	median := v[len(v)/2]
	few, all := 0.0, 0.0
	for _, x := range v {
		all += (x - median) * (x - median)
	}
	for range len(v) / 1000 {
		below, above := median-v[lo], v[hi]-median
		if few += math.Pow(math.Max(below, above), 2); below > above {
			lo++
		} else {
			hi--
		}
	}
	return few > all/2
}

// Len is the number of trials that converged.
func (s Sample) Len() int {
	if len(s.Values) == 0 {
		return 0
	}
	return len(s.Values[0])
}

// Mean returns the mean of quantity k, and the standard deviation over trials, which is its
// standard uncertainty (JCGM 101:2008, 7.6); NaN where single trials make
// most of the variance, and for a quantity that isn't there, here and below.
func (s Sample) Mean(k int) (mean, deviation float64) {
	if k < 0 || k >= len(s.mean) {
		return math.NaN(), math.NaN()
	}
	return s.mean[k], s.deviation[k]
}

// of returns the values of quantity k; nil for one that isn't there.
func (s Sample) of(k int) []float64 {
	if k < 0 || k >= len(s.Values) {
		return nil
	}
	return s.Values[k]
}

// Interval returns the probabilistically symmetric coverage interval of quantity k: equal
// shares of trials lie below and above (JCGM 101:2008, 7.7.2).
func (s Sample) Interval(k int, level float64) (lo, hi float64) {
	v := s.of(k)
	if len(v) == 0 {
		return math.NaN(), math.NaN()
	}
	inside := s.inside(level)
	r := (len(v) - inside) / 2
	return v[r], v[r+inside]
}

// Shortest returns the shortest coverage interval of quantity k (JCGM 101:2008, 7.7.3).
func (s Sample) Shortest(k int, level float64) (lo, hi float64) {
	v := s.of(k)
	if len(v) == 0 {
		return math.NaN(), math.NaN()
	}
	inside := s.inside(level)
	best := 0
	for r := range len(v) - inside {
		if v[r+inside]-v[r] < v[best+inside]-v[best] {
			best = r
		}
	}
	return v[best], v[best+inside]
}

// inside is the number of steps from one end of a coverage interval to the other: pM values,
// as the nearest whole number, lie within.
func (s Sample) inside(level float64) int {
	n := len(s.Values[0])
	return max(0, min(int(level*float64(n)+0.5), n)-1)
}

// Tolerance returns the numerical tolerance δ of a standard uncertainty u of which so many
// significant digits mean something: with u = c·10^l, c a whole number of that many digits,
// δ = ½·10^l (JCGM 101:2008, 7.9.2).
func Tolerance(u float64, digits int) float64 {
	if !(u > 0) || math.IsInf(u, 1) {
		return 0
	}
	l := math.Floor(math.Log10(u)) - float64(digits-1)
	if math.Round(u/math.Pow(10, l)) >= math.Pow(10, float64(digits)) { // 0.0996 is 0.1
		l++
	}
	return math.Pow(10, l) / 2
}

// stopping is the adaptive procedure of JCGM 101:2008, 7.9.4: the standard deviations of
// what a batch gives tell how far the averages over all batches are settled.
type stopping struct {
	batches int
	mean    [][4]float64 // of mean, standard deviation and the two ends, by quantity
	squares [][4]float64 // Σ (· − mean)²
	tails   []bool       // whether a batch had no mean and standard deviation: the ends have to settle then
}

// leastBatches is twice what 7.9.4 asks for: two batches agree by chance too often.
const leastBatches = 4

// settled takes one more batch and tells whether trials may stop. The tolerance is a fifth
// of that of the digits, as for a validation (8.2).
func (s *stopping) settled(b Sample, digits int) bool {
	if s.mean == nil {
		s.mean, s.squares, s.tails = make([][4]float64, len(b.Values)), make([][4]float64, len(b.Values)), make([]bool, len(b.Values))
	}
	s.batches++
	h := float64(s.batches)
	enough := s.batches >= leastBatches
	for k := range b.Values {
		lo, hi := b.Interval(k, b.Level)
		mean, deviation := b.Mean(k)
		for i, v := range [4]float64{mean, deviation, lo, hi} {
			step := v - s.mean[k][i]
			s.mean[k][i] += step / h
			s.squares[k][i] += step * (v - s.mean[k][i])
		}
		s.tails[k] = s.tails[k] || math.IsNaN(deviation)
		u, first := s.mean[k][1], 0
		if s.tails[k] {
			u, first = (s.mean[k][3]-s.mean[k][2])/2/CoverageFactor(b.Level, math.Inf(1)), 2
		}
		for _, square := range s.squares[k][first:] {
			error2 := square / (h * (h - 1)) // of the average
			enough = enough && (2*math.Sqrt(error2) <= Tolerance(u, digits)/5 || u == 0)
		}
	}
	return enough
}

// Validation compares a coverage interval with that of a sample (JCGM 101:2008, 8.1).
type Validation struct {
	Tolerance float64 // δ
	Low, High float64 // how far its ends are from those of the sample
}

// Validate compares the interval lo … hi of quantity k, whose standard uncertainty is u, with
// the probabilistically symmetric one of the sample, to so many significant digits of u.
func (s Sample) Validate(k int, u, lo, hi float64, digits int) Validation {
	low, high := s.Interval(k, s.Level)
	return Validation{Tolerance(u, digits), math.Abs(lo - low), math.Abs(hi - high)}
}

// Holds tells whether both ends agree within the tolerance.
func (v Validation) Holds() bool { return v.Low <= v.Tolerance && v.High <= v.Tolerance }
