package estimation

import (
	"math"

	"fitcoil/model/resonator"
)

// plainReading is what startLine goes by: capacitance added [F], 1/ω² [s²] and
// the inverse square of its relative standard uncertainty.
type plainReading struct{ added, lc, weight float64 }

// lineStart is a uniform line with its top load: inductance [H], capacitance of
// winding and top together [F], and the top's share of it.
type lineStart struct{ l, c, share float64 }

const startRounds = 5

// refine improves s by Gauss–Newton steps on the readings, with the frequency as
// uniformGuess has it: no sines, and near enough that the fit itself then needs
// few steps. It reports whether it came to anything.
func (s *lineStart) refine(readings []plainReading) bool {
	for range startRounds {
		// Normal equations of ln(1/ω²) in ln L, ln C and the share.
		var a [3][4]float64
		add := func(j1, j2, r, w float64) {
			row := [4]float64{1, j1, j2, r}
			for i := range 3 {
				for k := i; k < 4; k++ {
					a[i][k] += w * row[i] * row[k]
				}
			}
		}
		for _, r := range readings {
			whole := s.c + r.added
			t := (s.share*s.c + r.added) / whole
			square, slope := resonator.GuessSquare(t)
			add(s.c/whole*(1+slope*(s.share-t)), slope*s.c/whole, r.lc/(s.l*whole*square)-1, r.weight)
		}
		const w = 1 / (shareSigma * shareSigma)
		a[2][2] += w
		a[2][3] += w * (shareMean - s.share)
		step, ok := solve3(&a)
		if !ok || math.Abs(step[0]) > 1 || math.Abs(step[1]) > 1 {
			return false
		}
		s.l *= math.Exp(step[0])
		s.c *= math.Exp(step[1])
		s.share = math.Min(math.Max(s.share+step[2], 0.02), 0.98)
		if math.Abs(step[0])+math.Abs(step[1])+math.Abs(step[2]) < 1e-4 {
			break
		}
	}
	return true
}

// solve3 solves three normal equations, of which the upper triangle and the right
// side are given, by elimination; false where they are singular.
func solve3(a *[3][4]float64) (x [3]float64, ok bool) {
	for k := range 3 {
		whole := a[k][k]
		for i := range k {
			f := a[i][k] / a[i][i]
			for j := k; j < 4; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
		if !(a[k][k] > 1e-12*whole) {
			return x, false
		}
	}
	for k := 2; k >= 0; k-- {
		x[k] = a[k][3]
		for j := k + 1; j < 3; j++ {
			x[k] -= a[k][j] * x[j]
		}
		x[k] /= a[k][k]
	}
	return x, true
}
