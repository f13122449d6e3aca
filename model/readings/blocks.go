package readings

import "math"

// blocks sums over the means of all blocks of 2ᵏ readings that follow one
// another: the variance of a mean is judged by longer and longer blocks, until
// these no longer know of each other (H. Flyvbjerg and H. G. Petersen, J. Chem.
// Phys. 91, 1989, 461–466, from memory). A counter left running drifts, so that a
// million readings are not a million proofs.
type blocks struct {
	n            float64
	w            float64 // Σw of all blocks
	ww, wwd, sum float64 // Σw², Σw²d, Σw²d²: a block weighs the sum of its readings' weights
	half, halfD  float64 // a block that waits for the next
	waits        bool
}

// variance returns that of the mean, Σw²(d − mean)²/(Σw)² · n/(n−1): the usual
// one for equal weights.
func (b *blocks) variance(mean float64) float64 {
	square := b.sum - 2*mean*b.wwd + mean*mean*b.ww
	return math.Max(0, square) / (b.w * b.w) * b.n / (b.n - 1)
}

// scatter is what the scatter of a group says.
type scatter struct {
	single  float64 // standard deviation of one reading [Hz]
	mean    float64 // standard uncertainty of the mean [Hz]
	slow    float64 // the same over that of readings that vary by themselves
	wanders bool
}

const (
	FewestBlocks = 32  // that tell a variance within a quarter
	stillGrowing = 1.5 // of the variance with blocks twice as long: it doubles where nothing averages out, and stays where all does
)
