package ringing

import (
	"math"
	"math/cmplx"
)

// series is a stretch of samples averaged in blocks of B, after turning them
// back by the angular frequency shift: row m is
//
//	z_m = (1/B) Σ y_n e^{−i·shift·t_n},   n in block m.
//
// With shift = 0 the rows are real, and B = 1 leaves the samples as they are.
// The average of e^{st} over a block centred at t is e^{st}·G(s) with the gain
// of gain, so the model of a row is exact for every s. What the averages lose
// is noise bandwidth that the tones don't use.
//
// Times count from the first sample of the stretch.
type series struct {
	shift    float64 // rad/s
	block    int     // B
	sampling float64 // s between samples
	re, im   []float64
	skip     []bool // rows left out; nil means none
	drifts   drift  // how the offset moves
}

// average makes the series of y. Rows for which drop is true are left out;
// drop is asked only for blocks of one sample.
func average(y []float64, sampling, shift float64, block int, drop func(i int) bool) *series {
	s := &series{shift: shift, block: block, sampling: sampling}
	if shift != 0 {
		s.turnBack(y)
		return s
	}
	if block > 1 {
		s.re = averaged(y, block)
		return s
	}
	s.re = y
	if drop != nil {
		s.skip = make([]bool, len(y))
		for i := range y {
			s.skip[i] = drop(i)
		}
	}
	return s
}

func (s *series) turnBack(y []float64) {
	rows := len(y) / s.block
	s.re, s.im = make([]float64, rows), make([]float64, rows)
	step := cmplx.Rect(1, -s.shift*s.sampling)
	for m := range rows {
		first := m * s.block
		turn := cmplx.Rect(1, math.Remainder(-s.shift*s.sampling*float64(first), 2*math.Pi))
		var z complex128
		for i, v := range y[first : first+s.block] {
			if i%256 == 255 { // rounding of the running product
				turn /= complex(cmplx.Abs(turn), 0)
			}
			z += complex(v*real(turn), v*imag(turn))
			turn *= step
		}
		s.re[m], s.im[m] = real(z)/float64(s.block), imag(z)/float64(s.block)
	}
}

// rows returns the number of real numbers in the series.
func (s *series) rows() int { return len(s.re) + len(s.im) }

// used returns the number of rows that are not left out.
func (s *series) used() int {
	n := s.rows()
	for _, skip := range s.skip {
		if skip {
			n--
		}
	}
	return n
}

// spacing returns the time between rows in s.
func (s *series) spacing() float64 { return float64(s.block) * s.sampling }

// length returns the time that the rows take in s.
func (s *series) length() float64 { return float64(len(s.re)) * s.spacing() }

// first returns the time of the centre of the first row in s.
func (s *series) first() float64 { return float64(s.block-1) / 2 * s.sampling }

// observed returns the real parts, then the imaginary parts if there are any,
// with 0 for rows left out.
func (s *series) observed() []float64 {
	y := make([]float64, 0, s.rows())
	y = append(append(y, s.re...), s.im...)
	s.blank(y)
	return y
}

// blank sets rows left out to 0.
func (s *series) blank(y []float64) {
	for i, skip := range s.skip {
		if skip {
			y[i] = 0
		}
	}
}

// drift says how the offset of a series moves.
type drift int

// Drifts, each with the functions of the one before besides.
const (
	still  drift = iota // a constant
	bent                // a parabola
	fading              // exponentials: what is left of a step behind a coupling capacitor
)

// fadings are the rates of a fading offset, over the series: between them lie
// all, to a thousandth of the step.
var fadings = [...]float64{5, 15, 45, 120}

// functions returns how many functions besides the constant a drift has.
func (d drift) functions() int { return [...]int{0, 2, 2 + len(fadings)}[d] }

// at writes the functions at the place x of 1 into dst, of which there are as
// many as functions tells: 2x−1, (3(2x−1)²−1)/2, e^{−βx}.
func (d drift) at(x float64, dst []float64) {
	if d >= bent {
		c := 2*x - 1
		dst[0], dst[1] = c, (3*c*c-1)/2
	}
	if d >= fading {
		for k, beta := range fadings {
			dst[2+k] = math.Exp(-beta * x)
		}
	}
}

// drifting returns the functions of the drift at the middle of each row. Only a
// series that was not turned back has them. The averages of x² over blocks
// differ by a constant, which the offset takes up, those of e^{−βx} by a factor.
func (s *series) drifting() [][]float64 {
	if s.drifts == still {
		return nil
	}
	n := len(s.re)
	cols := make([][]float64, s.drifts.functions())
	for k := range cols {
		cols[k] = make([]float64, n)
	}
	at := make([]float64, len(cols))
	for m := range n {
		s.drifts.at((float64(m)+0.5)/float64(n), at)
		for k, v := range at {
			cols[k][m] = v
		}
	}
	if s.drifts >= fading {
		b := float64(s.block)
		for k, beta := range fadings {
			x := beta / (2 * float64(n))
			factor := math.Sinh(x) / (b * math.Sinh(x/b))
			for m := range cols[2+k] {
				cols[2+k][m] *= factor
			}
		}
	}
	return cols
}

// gain returns G(σ) = (1/B) Σ e^{σ(j − (B−1)/2)T}, j = 0 … B−1, a geometric
// sum, and its logarithmic derivative dlnG/dσ in s.
func (s *series) gain(sigma complex128) (g, slope complex128) {
	if s.block == 1 {
		return 1, 0
	}
	t := complex(s.sampling, 0)
	b := complex(float64(s.block), 0)
	if x := sigma * t * b; cmplx.Abs(x) < 1e-4 { // the quotients cancel there
		k := (b*b - 1) * t * t / 12
		return 1 + k*sigma*sigma/2, k * sigma
	}
	num, den := cmplx.Sinh(sigma*b*t/2), cmplx.Sinh(sigma*t/2)
	g = num / (b * den)
	slope = b*t/2*cmplx.Cosh(sigma*b*t/2)/num - t/2*cmplx.Cosh(sigma*t/2)/den
	return g, slope
}

// exponential calls do with each row m of e^{st}, turned back and averaged,
// and with its derivative with respect to s.
func (s *series) exponential(at complex128, do func(m int, value, derivative complex128)) {
	sigma := at - complex(0, s.shift)
	g, slope := s.gain(sigma)
	first, spacing := s.first(), s.spacing()
	step := cmplx.Exp(sigma * complex(spacing, 0))
	var z complex128
	for m := range s.re {
		t := first + float64(m)*spacing
		if m%256 == 0 { // anew, against rounding of the running product
			z = g * cmplx.Exp(sigma*complex(t, 0))
		}
		do(m, z, z*(complex(t, 0)+slope))
		z *= step
	}
}
