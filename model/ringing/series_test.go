package ringing

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/near"
)

// The rows of a series, real or turned back, are what averaging the samples of
// an exponential gives, to rounding.
func TestSeriesIsExact(t *testing.T) {
	const n, sampling = 4000, 4e-9
	tn := tone{2 * math.Pi * 1.5e6, 4e4}
	y := make([]float64, n)
	for i := range y {
		at := float64(i) * sampling
		y[i] = 0.3 + math.Exp(-tn.alpha*at)*(0.8*math.Cos(tn.omega*at)-0.5*math.Sin(tn.omega*at))
	}
	for _, s := range []*series{
		average(y, sampling, 0, 1, nil),
		average(y, sampling, 0, 7, nil),
		average(y, sampling, 2*math.Pi*1.45e6, 333, nil),
	} {
		p := project(s, []tone{tn})
		if !p.at(make([]float64, 2)) {
			t.Fatal("no model")
		}
		near.To(t, "residual", math.Sqrt(p.squares()/float64(s.rows())), 0, 1e-12)
		for i, want := range []float64{0.8, 0.5, 0.3} {
			near.To(t, "coefficient", p.coef[i], want, 1e-10)
		}
	}
}

func TestGain(t *testing.T) {
	s := series{block: 9, sampling: 4e-9}
	for _, sigma := range []complex128{0, complex(-3, 5), complex(-1e4, 3e5), complex(-2e6, 4e7), complex(1e5, -1e7)} {
		var sum, slope complex128
		for j := range s.block {
			at := complex((float64(j)-4)*s.sampling, 0)
			e := cmplx.Exp(sigma * at)
			sum += e / 9
			slope += at * e / 9
		}
		g, d := s.gain(sigma)
		if cmplx.Abs(g-sum) > 1e-12 || cmplx.Abs(d-slope/sum) > 1e-7*s.sampling {
			t.Errorf("gain(%v) = %v, %v, want %v, %v", sigma, g, d, sum, slope/sum)
		}
	}
}

// The derivatives with respect to ω and α against central differences of the
// model at fixed amplitudes.
func TestTangents(t *testing.T) {
	y := invented{n: 3000, interval: 4e-9, sigma: 0.1, tones: []sine{{1, 1.5e6, 5e4, 0.3}, {0.4, 1.61e6, 9e4, 1}}}.signal(rand.New(rand.NewPCG(1, 1))).Samples
	for _, s := range []*series{average(y, 4e-9, 0, 3, nil), average(y, 4e-9, 9.2e6, 50, nil)} {
		p := project(s, []tone{{9.4e6, 4e4}, {1.01e7, 7e4}})
		x := []float64{0.1, 0.2, -0.3, 0.1}
		if !p.at(x) {
			t.Fatal("no model")
		}
		coef := append([]float64(nil), p.coef...)
		model := func(x []float64) []float64 {
			q := project(s, p.start)
			q.at(x)
			out := make([]float64, s.rows())
			for j, col := range q.columns() {
				for i, v := range col {
					out[i] += coef[j] * v
				}
			}
			return out
		}
		for j, col := range p.tangents() {
			const h = 1e-4
			up, down := append([]float64(nil), x...), append([]float64(nil), x...)
			up[j] += h
			down[j] -= h
			a, b := model(up), model(down)
			worst, size := 0.0, 0.0
			for i := range col {
				worst = math.Max(worst, math.Abs(col[i]-(a[i]-b[i])/(2*h)))
				size = math.Max(size, math.Abs(col[i]))
			}
			if worst > 1e-7*size {
				t.Errorf("derivative %d is off by %.2g of %.2g", j, worst, size)
			}
		}
	}
}

func TestOrthonormal(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	cols := make([][]float64, 4)
	for j := range cols {
		cols[j] = make([]float64, 50)
		for i := range cols[j] {
			cols[j][i] = rng.NormFloat64()
		}
	}
	y := make([]float64, 50)
	for i := range y {
		for j, col := range cols {
			y[i] += float64(j+1) * col[i]
		}
	}
	same := append([][]float64(nil), append([]float64(nil), cols[0]...), append([]float64(nil), cols[0]...))
	if orthonormalise(same) != nil {
		t.Error("two equal columns pass for independent")
	}
	o := orthonormalise(cols)
	rest, along := o.without(y, nil)
	for j, c := range o.solve(along) {
		near.To(t, "coefficient", c, float64(j+1), 1e-13)
	}
	for _, r := range rest {
		near.To(t, "rest", r, 0, 1e-13)
	}
}
