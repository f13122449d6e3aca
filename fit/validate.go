package fit

import "math"

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
