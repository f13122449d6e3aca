package ringing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

func crb(s sine, n int, T, sigma float64) (uf, ua float64) {
	var s0, s1, s2 float64
	for i := range n {
		t := float64(i) * T
		g := s.amplitude * math.Exp(-s.alpha*t) / sigma
		g *= g / 2
		s0 += g
		s1 += g * t
		s2 += g * t * t
	}
	v := 1 / (s2 - s1*s1/s0)
	return math.Sqrt(v) / 2 / math.Pi, math.Sqrt(v)
}
func ar1(rho, sd float64) func(*rand.Rand) func() float64 {
	return func(r *rand.Rand) func() float64 {
		x := sd * r.NormFloat64()
		return func() float64 { x = rho*x + sd*math.Sqrt(1-rho*rho)*r.NormFloat64(); return x }
	}
}
func ar2(f, rad, sd float64) func(*rand.Rand) func() float64 {
	return func(r *rand.Rand) func() float64 {
		var x, y float64
		a1 := 2 * rad * math.Cos(f)
		a2 := -rad * rad
		g := math.Sqrt((1 - a2) * (1 - a1 - a2) * (1 + a1 - a2) / (1 - a2))
		_ = g
		// variance of AR2: (1-a2)/((1+a2)((1-a2)^2-a1^2))
		v := (1 - a2) / ((1 + a2) * ((1-a2)*(1-a2) - a1*a1))
		k := sd / math.Sqrt(v)
		step := func() float64 { z := a1*x + a2*y + k*r.NormFloat64(); y = x; x = z; return z }
		for range 2000 {
			step()
		}
		return step
	}
}

func TestCover(t *testing.T) {
	T := 4e-9
	type cs struct {
		name string
		c    invented
	}
	var list []cs
	for _, db := range []float64{20, 30, 40, 50, 60} {
		sg := 1 / math.Sqrt2 * math.Pow(10, -db/20)
		list = append(list, cs{fmt.Sprintf("steady %v dB", db), invented{n: 2000, interval: T, tones: []sine{{1, 1.5e6, 0, 0}}, sigma: sg, step: .01}})
		list = append(list, cs{fmt.Sprintf("steady4cyc %v dB", db), invented{n: 660, interval: T, tones: []sine{{1, 1.5e6, 0, 0}}, sigma: sg, step: .01}})
		list = append(list, cs{fmt.Sprintf("steady many/cycle %v dB", db), invented{n: 2000, interval: T, tones: []sine{{1, 21.5e6, 0, 0}}, sigma: sg, step: .01}})
		list = append(list, cs{fmt.Sprintf("Q10 %v dB", db), invented{n: 4000, interval: T, tones: []sine{natural(1, 1.5e6, 10, 0)}, sigma: sg, step: .01}})
		list = append(list, cs{fmt.Sprintf("Q50 %v dB", db), invented{n: 8000, interval: T, tones: []sine{natural(1, 1.5e6, 50, 0)}, sigma: sg, step: .01}})
	}
	for _, rho := range []float64{.9, -.5, .99, .999} {
		list = append(list, cs{fmt.Sprintf("ar1 %v steady", rho), invented{n: 4000, interval: T, tones: []sine{{1, 1.5e6, 0, 0}}, noise: ar1(rho, .03)}})
		list = append(list, cs{fmt.Sprintf("ar1 %v Q20", rho), invented{n: 6000, interval: T, tones: []sine{natural(1, 1.5e6, 20, 0)}, noise: ar1(rho, .03)}})
	}
	list = append(list, cs{"ar2 hump steady", invented{n: 8000, interval: T, tones: []sine{{1, 1.5e6, 0, 0}}, noise: ar2(2*math.Pi*1.5e6*T, .99, .03)}})
	list = append(list, cs{"ar2 hump off steady", invented{n: 8000, interval: T, tones: []sine{{1, 1.5e6, 0, 0}}, noise: ar2(2*math.Pi*3e6*T, .99, .03)}})
	list = append(list, cs{"ar2 hump Q30", invented{n: 8000, interval: T, tones: []sine{natural(1, 1.5e6, 30, 0)}, noise: ar2(2*math.Pi*1.5e6*T, .99, .03)}})
	for _, l := range list {
		c := l.c
		s := c.tones[0]
		rng := rand.New(rand.NewPCG(7, 9))
		sg := math.Sqrt(c.sigma*c.sigma + c.step*c.step/12)
		uf, _ := crb(s, c.n, T, sg)
		var okf, okq, n, nq, fails, extra, skip int
		var mu, me, order float64
		for range 500 {
			c.tones = []sine{{s.amplitude, s.frequency * (1 + .01*rng.Float64()), s.alpha, 2 * math.Pi * rng.Float64()}}
			x := c.signal(rng)
			r, err := Analyse(x, Settings{Columns: 10})
			if err != nil {
				fails++
				if fails < 2 {
					fmt.Println(err)
				}
				continue
			}
			n++
			if len(r.Tones) > 1 {
				extra++
			}
			if r.Bursts[0].Skipped > 0 || r.Bursts[0].Misfit {
				skip++
			}
			tr := c.tones[0].frequency
			if r.Frequency.Interval[0] <= tr && tr <= r.Frequency.Interval[1] {
				okf++
			}
			mu += r.Frequency.Uncertainty
			d := r.Frequency.Value - tr
			me += d * d
			order += r.Noise.DegreesOfFreedom
			if s.alpha > 0 {
				nq++
				w := 2 * math.Pi * tr
				q := math.Hypot(w, s.alpha) / 2 / s.alpha
				if r.Quality.Interval[0] <= q && q <= r.Quality.Interval[1] {
					okq++
				}
			}
		}
		fmt.Printf("%-26s fails %d extra %d skip %d cover f %.3f Q %.3f  u/crb %.3f rms/crb %.3f u/rms %.3f dof %.0f\n", l.name, fails, extra, skip, float64(okf)/float64(n), float64(okq)/float64(max(nq, 1)), mu/float64(n)/uf, math.Sqrt(me/float64(n))/uf, mu/float64(n)/math.Sqrt(me/float64(n)), order/float64(n))
	}
}
