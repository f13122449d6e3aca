package field

import (
	"fmt"
	"gonum.org/v1/gonum/mat"
	"math"
	"testing"
)

type row struct {
	added float64
	cores []Stretch
	omega float64
}

type scen struct {
	name string
	coil Coil
	rows []row
	L, G float64
}

// simulate; beads inserted k of count (cut) from base or sliding
func sim(name string, c Coil, full Beads, mode string, lens bool) scen {
	n := 64
	r := resolution{.015, .18, 1.5, 9}
	var rows []row
	var m Mode
	air := c.inductance(n)
	L := mat.Sum(air)
	run := func(b Beads, st []Stretch, adds ...float64) {
		cc := c
		cc.Beads = b
		l := mat.NewSymDense(n, nil)
		l.CopySym(air)
		if err := cc.addCore(l, r); err != nil {
			panic(err)
		}
		if noC {
			cc.Beads = Beads{}
		}
		cap, err := cc.capacitance(n, math.Inf(1), r)
		if err != nil {
			panic(err)
		}
		for _, a := range adds {
			resonate(l, cap, a, &m)
			rows = append(rows, row{a, st, m.Omega})
		}
	}
	run(Beads{}, nil, 0, 1e-12, 2.2e-12, 4.7e-12, 10e-12, 22e-12, 47e-12)
	pitch := full.Length + full.Spacing
	switch mode {
	case "cut", "mid":
		for k := 1; k <= full.Count; k++ {
			if full.Count > 12 && k%2 == 1 {
				continue
			}
			b := full
			b.Count = k
			b.Start = b.Spacing / 2
			if mode == "mid" {
				b.Start = c.Length/2 - b.Span()/2
			}
			lo := (b.Start - b.Spacing/2) / c.Length
			hi := lo + b.Span()/c.Length + float64(hiAdd)*b.Spacing/c.Length
			if hiOne && mode == "cut" && k == full.Count {
				hi = 1
			}
			_ = pitch
			run(b, []Stretch{{From: lo, To: hi}}, 0, 4.7e-12)
		}
	case "slide":
		for k := 1; k <= 10; k++ {
			x := float64(k) / 10
			b := full
			b.Start = (x-1)*c.Length + b.Spacing/2
			s := Stretch{From: 0, To: x}
			if lens {
				s.Length = c.Length
			}
			run(b, []Stretch{s}, 0, 4.7e-12)
		}
	}
	// gain of the full core
	full.Start = full.Spacing / 2
	c.Beads = full
	l := mat.NewSymDense(n, nil)
	l.CopySym(air)
	c.addCore(l, r)
	return scen{name, c, rows, L, mat.Sum(l) / L}
}

func fitRows(res func(x []float64, r row) (f float64), x []float64, rows []row) (rms, worst float64) {
	p := len(x)
	n := len(rows)
	for it := 0; it < 30; it++ {
		j := mat.NewDense(n, p, nil)
		y := mat.NewVecDense(n, nil)
		for i, r := range rows {
			f := math.Log(r.omega / res(x, r))
			y.SetVec(i, f)
			for k := range x {
				h := 1e-4
				x[k] += h
				a := res(x, r)
				x[k] -= 2 * h
				b := res(x, r)
				x[k] += h
				j.Set(i, k, math.Log(a/b)/2/h)
			}
		}
		var d mat.VecDense
		if err := d.SolveVec(j, y); err != nil {
			if _, ok := err.(mat.Condition); !ok {
				panic(err)
			}
		}
		nn := mat.Norm(&d, 2)
		sc := 1.0
		if nn > .5 {
			sc = .5 / nn
		}
		for k := range x {
			x[k] += sc * d.AtVec(k)
		}
		if nn < 1e-9 {
			break
		}
	}
	for _, r := range rows {
		e := math.Log(r.omega / res(x, r))
		rms += e * e
		worst = math.Max(worst, math.Abs(e))
	}
	return math.Sqrt(rms / float64(n)), worst
}

func ladderFit(s scen, core Beads, verbose bool) {
	lad, err := NewLadder(Shape{Diameter: s.coil.Diameter, Length: s.coil.Length, Core: core})
	if err != nil {
		panic(err)
	}
	var m Mode
	f := func(x []float64, r row) float64 {
		st := State{Inductance: math.Exp(x[0]), Capacitance: math.Exp(x[1]), Top: x[2]*1e-12 + r.added}
		for _, c := range r.cores {
			c.Gain = math.Exp(x[3])
			c.Capacitance = x[4] * 1e-12 * (c.To - c.From)
			st.Cores = append(st.Cores, c)
		}
		lad.Resonate(st, &m)
		return m.Omega
	}
	x := []float64{math.Log(s.L * .9), math.Log(4e-12), .5, math.Log(s.G * .8), 0}
	rms, w := fitRows(f, x, s.rows)
	fmt.Printf("%-28s dd %.2f seg %v rms %.4f%% worst %.4f%% L %+.3f%% g %+.3f%% (%.3f) Cw %.3f Ct %.3f dC %.3f\n", s.name, core.Diameter/s.coil.Diameter, core.Length > 0, 100*rms, 100*w, 100*(math.Exp(x[0])/s.L-1), 100*(math.Exp(x[3])/s.G-1), s.G, math.Exp(x[1])*1e12, x[2], x[4])
	if verbose {
		for _, r := range s.rows {
			fmt.Printf("   %v %v %+.4f%%\n", r.added, r.cores, 100*math.Log(r.omega/f(x, r)))
		}
	}
}

var base = Coil{Turns: 560, Diameter: .024, Length: .22, Wire: .35e-3, Ball: .016}

func TestFit(t *testing.T) {
	bd := Beads{Diameter: .010, Length: .018, Spacing: .22/10 - .018, Count: 10, Permeability: 100}
	b8 := Beads{Diameter: .0192, Length: .016, Spacing: .006, Count: 10, Permeability: 100}
	hiAdd = 1
	for _, nc := range []bool{true, false} {
		noC = nc
		fmt.Println("noC", nc)
		for _, s := range []scen{
			sim("solid .4 mu10 slide len", base, Beads{Diameter: .010, Length: .22, Count: 1, Permeability: 10}, "slide", true),
			sim("solid .4 mu400 slide len", base, Beads{Diameter: .010, Length: .22, Count: 1, Permeability: 400}, "slide", true),
			sim("solid .8 mu10 slide len", base, Beads{Diameter: .0192, Length: .22, Count: 1, Permeability: 10}, "slide", true),
			sim("seg 10mm slide", base, bd, "slide", true),
			sim("seg 8mm slide", base, b8, "slide", true),
			sim("seg 10mm cut", base, bd, "cut", false),
			sim("seg 8mm cut", base, b8, "cut", false),
		} {
			b := s.coil.Beads
			if b.Count == 1 {
				b.Length = 0
			}
			ladderFit(s, b, false)
			for _, dd := range []float64{.6, .8} {
				ladderFit(s, Beads{Diameter: dd * s.coil.Diameter}, false)
			}
		}
	}
}

var noC bool

var hiAdd int
var hiOne = false
