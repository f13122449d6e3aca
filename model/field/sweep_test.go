package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
)

// reading is a resonance simulated with the whole field: inductances with the
// core's charges, capacitances with all charges of winding, ball, plane and
// beads, 64 slices and finer surfaces than any ladder has.
type reading struct {
	added float64
	cores []Stretch // without gain and capacitance, which are fitted
	omega float64
}

// session is a simulated session at the bench with its true values.
type session struct {
	coil             Coil
	readings         []reading
	inductance, gain float64
}

// simulate reads the bare coil with seven added capacitors and eight
// positions of the core with two. A core that grows has more beads each time,
// one that slides stays as long as the winding and sticks out at the base.
func simulate(t *testing.T, c Coil, core Beads, slides bool) session {
	t.Helper()
	const n = 64
	fine := resolution{edge: 0.015, most: 0.18, growth: 1.5, rings: 9}
	s := session{}
	read := func(b Beads, cores []Stretch, added ...float64) circuit {
		c.Beads = b
		k := must.Get(c.circuit(n, true, math.Inf(1), fine)).In(t)
		var m Mode
		for _, a := range added {
			k.resonate(a, &m)
			s.readings = append(s.readings, reading{a, cores, m.Omega})
		}
		return k
	}
	air := read(Beads{}, nil, 0, 1e-12, 2.2e-12, 4.7e-12, 10e-12, 22e-12, 47e-12)
	s.inductance = mat.Sum(air.l)
	for i := 1; i <= 8; i++ {
		b, stretch := core, Stretch{From: 0, To: float64(i) / 8}
		switch {
		case slides:
			stretch.Length = c.Length
			b.Start += c.Length * (stretch.To - 1)
		default:
			b.Count = core.Count * i / 8
			stretch.To = float64(b.Count) / float64(core.Count)
		}
		k := read(b, []Stretch{stretch}, 0, 4.7e-12)
		s.gain = mat.Sum(k.l) / s.inductance // at last of the core all along the winding
	}
	s.coil = c
	return s
}

// adjust fits ln L, ln Cw, Ct and, for the core, ln g and its capacitance per
// coverage, the capacitances in units of 1 pF, by Gauss and Newton's steps. It
// returns the residuals' rms and largest.
func (s session) adjust(resonate func(x []float64, r reading, grad []float64) float64) (x []float64, rms, worst float64) {
	x = []float64{math.Log(0.9 * s.inductance), math.Log(4e-12), 0.5, math.Log(0.8 * s.gain), 0}
	n, p := len(s.readings), len(x)
	j, y := mat.NewDense(n, p, nil), mat.NewVecDense(n, nil)
	for range 30 {
		rms, worst = 0, 0
		for i, r := range s.readings {
			off := math.Log(r.omega / resonate(x, r, j.RawRowView(i)))
			y.SetVec(i, off)
			rms += off * off / float64(n)
			worst = math.Max(worst, math.Abs(off))
		}
		var d mat.VecDense
		if err := d.SolveVec(j, y); err != nil {
			if _, poor := err.(mat.Condition); !poor {
				return x, math.NaN(), math.NaN()
			}
		}
		size := mat.Norm(&d, 2)
		for k := range x {
			x[k] += d.AtVec(k) * math.Min(1, 0.5/size)
		}
		if size < 1e-9 {
			break
		}
	}
	return x, math.Sqrt(rms), worst
}

// ladder fits a Ladder, with its own sensitivities.
func (s session) ladder(t *testing.T, shape Shape) (x []float64, rms, worst float64) {
	l := newLadder(t, shape)
	var m Mode
	return s.adjust(func(x []float64, r reading, grad []float64) float64 {
		state := State{Inductance: math.Exp(x[0]), Capacitance: math.Exp(x[1]), Top: r.added + 1e-12*x[2]}
		for _, c := range r.cores {
			c.Gain, c.Capacitance = math.Exp(x[3]), 1e-12*x[4]*(c.To-c.From)
			state.Cores = append(state.Cores, c)
		}
		l.Resonate(state, &m)
		clear(grad)
		grad[0], grad[1], grad[2] = -0.5, m.PerWinding*state.Capacitance, 1e-12*m.PerTop
		for i, c := range state.Cores {
			grad[3] += m.Cores[i].PerGain
			grad[4] += m.Cores[i].PerCapacitance * 1e-12 * (c.To - c.From)
		}
		return m.Omega
	})
}

// line fits two sections of uniform line: the lowest root of I − ωCtV at the
// top, by bisection, with sensitivities by differences.
func (s session) line() (x []float64, rms, worst float64) {
	omega := func(x []float64, r reading) float64 {
		l, c := math.Exp(x[0]), math.Exp(x[1])
		covered, gain, extra := 0.0, 1.0, 0.0
		for _, k := range r.cores {
			covered, gain, extra = k.To, math.Exp(x[3]), 1e-12*x[4]
		}
		rest := func(omega float64) float64 {
			v, i := 0.0, 1.0
			for _, p := range [][3]float64{{covered, gain * l, c + extra}, {1 - covered, l, c}} {
				if p[0] <= 0 {
					continue
				}
				z, phi := math.Sqrt(p[1]/p[2]), omega*p[0]*math.Sqrt(p[1]*p[2])
				sin, cos := math.Sincos(phi)
				v, i = v*cos+i*z*sin, i*cos-v/z*sin
			}
			return i - omega*(r.added+1e-12*x[2])*v
		}
		hi := 0.0
		for step := 1e-2 / math.Sqrt(gain*l*(c+extra)); rest(hi) > 0; hi += step {
		}
		lo := 0.0
		for range 100 {
			if mid := (lo + hi) / 2; rest(mid) > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo
	}
	return s.adjust(func(x []float64, r reading, grad []float64) float64 {
		for k := range x {
			const h = 1e-4
			at := append([]float64(nil), x...)
			at[k] += h
			grad[k] = math.Log(omega(at, r))
			at[k] -= 2 * h
			grad[k] = (grad[k] - math.Log(omega(at, r))) / (2 * h)
		}
		return omega(x, r)
	})
}

// Insertions and added capacitors simulated with the whole field: the ladder
// leaves at most 0.05 % rms and finds inductance and gain within 0.5 %, where
// the line leaves three times as much or more.
func TestSweep(t *testing.T) {
	slim := Coil{Turns: 560, Diameter: 0.024, Length: 0.22, Wire: 0.35e-3, Ball: 0.025}
	squat := Coil{Turns: 120, Diameter: 0.05, Length: 0.09, Wire: 0.6e-3, Ball: 0.03, Height: 0.3}
	row := func(c Coil, count int, diameter, gap, mu float64) Beads {
		pitch := c.Length / float64(count)
		return Beads{Diameter: diameter, Length: pitch - gap, Spacing: gap, Start: gap / 2, Count: count, Permeability: mu}
	}
	for _, c := range []struct {
		name   string
		coil   Coil
		core   Beads
		slides bool
	}{
		{"beads added", slim, row(slim, 8, 0.012, 2e-3, 100), false},
		{"beads slid in", slim, row(slim, 8, 0.012, 2e-3, 100), true},
		{"wide beads added", slim, row(slim, 16, 0.019, 3e-3, 400), false},
		{"rod slid in", slim, row(slim, 1, 0.008, 0, 125), true},
		{"beads added, squat", squat, row(squat, 8, 0.025, 2e-3, 100), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := simulate(t, c.coil, c.core, c.slides)
			shape := Shape{Diameter: c.coil.Diameter, Length: c.coil.Length, Height: c.coil.Height, Core: c.core}
			x, rms, worst := s.ladder(t, shape)
			off := func(x float64, truth float64) float64 { return 100 * (math.Exp(x)/truth - 1) }
			_, lineRMS, lineWorst := s.line()
			t.Logf("%d readings, gain %.3f; ladder: %.4f %% rms, %.4f %% at worst, L %+.3f %%, gain %+.3f %%; line: %.3f %% rms, %.3f %% at worst",
				len(s.readings), s.gain, 100*rms, 100*worst, off(x[0], s.inductance), off(x[3], s.gain), 100*lineRMS, 100*lineWorst)
			if !(rms <= 5e-4) {
				t.Errorf("the ladder leaves %.4f %% rms", 100*rms)
			}
			if l, g := off(x[0], s.inductance), off(x[3], s.gain); !(math.Abs(l) <= 0.5) || !(math.Abs(g) <= 0.5) {
				t.Errorf("inductance %+.3f %%, gain %+.3f %% off", l, g)
			}
			if !(lineRMS >= 3*rms) {
				t.Errorf("the line leaves %.4f %% rms, the ladder %.4f %%", 100*lineRMS, 100*rms)
			}
			// The drawing's own prediction is what such a fit finds.
			p := must.Get(c.coil.Predict()).In(t)
			t.Logf("Cw %.3f pF, predicted %.3f; Ct %.3f pF, predicted %.3f", 1e12*math.Exp(x[1]), 1e12*p.WindingCapacitance.Value, x[2], 1e12*p.TopCapacitance.Value)
			// Without a drawing of the core.
			x, rms, worst = s.ladder(t, Shape{Diameter: c.coil.Diameter, Length: c.coil.Length})
			t.Logf("core not drawn: %.4f %% rms, %.4f %% at worst, L %+.3f %%, gain %+.3f %%",
				100*rms, 100*worst, off(x[0], s.inductance), off(x[3], s.gain))
			if !(lineRMS >= 3*rms) {
				t.Errorf("core not drawn: the line leaves %.4f %% rms, the ladder %.4f %%", 100*lineRMS, 100*rms)
			}
		})
	}
}
