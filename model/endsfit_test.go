package model

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/resonator"
)

var recomputeEnds = flag.Bool("ends", false, "TestEndsConstants computes testdata/ends.csv with the field model, instead of one coil of it")

// endsCoils are the twelve coils (invented) whose field calculations fix the constants of the
// ends' law: lengths of 4 to 25 winding diameters, beads in winding diameters. None is one of
// those that predictions are tested with.
var endsCoils = []struct{ ratio, thick, long, gap, permeability float64 }{
	{4, 0.5, 0.5, 0.5, 120}, {4, 0.75, 0.5, 0.1, 60},
	{6, 0.3, 0.3, 0.3, 120}, {6, 0.6, 0.5, 0.3, 40},
	{9, 0.5, 0.4, 0.4, 120}, {9, 0.7, 0.5, 0.1, 120},
	{12, 0.4, 0.4, 0.2, 60}, {12, 0.6, 0.5, 0.2, 200},
	{18, 0.5, 0.6, 0.6, 120}, {18, 0.7, 0.6, 0.2, 60},
	{25, 0.3, 0.5, 0.3, 120}, {25, 0.6, 0.8, 0.3, 120},
}

// endsDrawing is coil k of them, 24 mm thick.
func endsDrawing(k int) drawing.Drawing {
	const diameter = 24e-3
	c, d := endsCoils[k], sketch()
	length := c.ratio * diameter
	d.Coil.Diameter, d.Coil.Length, d.Coil.Turns = diameter, length, 2.5e3*length
	d.Coil.Beads = field.Beads{Diameter: c.thick * diameter, Length: c.long * diameter, Spacing: c.gap * diameter,
		Count: int(c.ratio / (c.long + c.gap)), Permeability: c.permeability}
	return d
}

// endsPlaces are a core that slides in from the base and sticks out, in nine places, and one
// that is as short as the stretch, in fourteen.
func endsPlaces(length float64) (in, short []field.Stretch) {
	for i := 1; i < 10; i++ {
		in = append(in, field.Stretch{To: float64(i) / 10, Length: length})
	}
	for from := range 5 {
		for to := from + 1; to <= 5; to++ {
			if to-from < 5 {
				short = append(short, field.Stretch{From: float64(from) / 5, To: float64(to) / 5})
			}
		}
	}
	return in, short
}

// endsShare is what shows of a core in one place: one row of testdata/ends.csv.
type endsShare struct {
	core            int // 2·coil, and 1 more for the short one
	from, to, share float64
}

func endsShares(t *testing.T, coil int) (list []endsShare) {
	d := endsDrawing(coil)
	in, short := endsPlaces(d.Coil.Length)
	for k, places := range [][]field.Stretch{in, short} {
		for i, share := range shows(t, d, places) {
			list = append(list, endsShare{2*coil + k, places[i].From, places[i].To, share})
		}
	}
	return list
}

// endsLaw is the formula of docs/mathematics.md.
func endsLaw(base, top, own, lambda, a, b float64) float64 {
	e := func(a, b float64) float64 {
		m := func(a, b float64) float64 { return lambda * (math.Exp(-a/lambda) - math.Exp(-b/lambda)) / (b - a) }
		u := (b - a) / (own * lambda)
		return (1 - base*m(a, b) - top*m(1-b, 1-a)) * (1 - (1-math.Exp(-u))/u)
	}
	return e(a, b) / e(0, 1)
}

// The constants of the ends' law are those that follow the field of twelve coils best, each
// core with a reach λ of its own, a core slid in weighted as three and a half short ones; its
// uncertainties are what is left; and the reaches are as is believed of them.
func TestEndsConstants(t *testing.T) {
	file := filepath.Join("testdata", "ends.csv")
	if *recomputeEnds {
		var b strings.Builder
		b.WriteString("core,from,to,share\n")
		for coil := range endsCoils {
			for _, o := range endsShares(t, coil) {
				fmt.Fprintf(&b, "%d,%.1f,%.1f,%.5f\n", o.core, o.from, o.to, o.share)
			}
		}
		must.Do(t, os.WriteFile(file, []byte(b.String()), 0o644))
	}
	rows := readEnds(t, file)
	const one = 4
	for i, o := range endsShares(t, one) {
		if got := rows[23*one+i]; got.core != o.core || !(math.Abs(got.share-o.share) <= 2e-5) {
			t.Errorf("the table has %v, the field model gives %v", got, o)
		}
	}
	weight := [2]float64{resonator.CoveredFromEnd, resonator.CoveredInTheMiddle}
	value := func(x []float64, o endsShare) float64 {
		return endsLaw(x[0], x[1], math.Exp(x[2]), math.Exp(x[3+o.core]), o.from, o.to)
	}
	p := fit.Problem{Params: 3 + 2*len(endsCoils), Own: 2 * len(endsCoils)}
	p.Data = fit.Rows{N: len(rows), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			o := rows[first+i]
			u := weight[o.core%2]
			r[i] = (value(x, o) - o.share) / u
			for k := range jac[:min(4, len(jac))] {
				const h = 1e-5
				y := append([]float64(nil), x...)
				j := []int{0, 1, 2, 3 + o.core}[k]
				y[j] += h
				up := value(y, o)
				y[j] -= 2 * h
				jac[4*i+k] = (up - value(y, o)) / (2 * h * u)
			}
		}
	}}
	start := []float64{0.6, 0.6, math.Log(0.15)}
	for _, o := range rows {
		p.Data.Own = append(p.Data.Own, o.core)
	}
	for range p.Own {
		start = append(start, math.Log(0.1))
	}
	r, err := fit.Solve(p, start, fit.Settings{})
	if err != nil || !r.Status.Converged() {
		t.Fatal(err, r.Status)
	}
	base, top, own := r.X[0], r.X[1], math.Exp(r.X[2])
	var left, n, squares [2]float64
	for _, o := range rows {
		left[o.core%2] += math.Pow(value(r.X, o)-o.share, 2)
		n[o.core%2]++
	}
	for core, l := range r.X[3:] {
		squares[core%2] += math.Pow((l-math.Log(resonator.EndsMean))/resonator.EndsSigma, 2) / float64(len(endsCoils))
	}
	in, short := math.Sqrt(left[0]/n[0]), math.Sqrt(left[1]/n[1])
	t.Logf("base %.3f, top %.3f, own %.3f; left %.4f slid in, %.4f short; reaches off by %.2f and %.2f of what is believed", base, top, own, in, short, math.Sqrt(squares[0]), math.Sqrt(squares[1]))
	round := func(v float64) float64 { return math.Round(100*v) / 100 }
	for _, place := range [][2]float64{{0, 0.2}, {0, 0.7}, {0.3, 0.6}, {0.5, 1}} {
		want := endsLaw(round(base), round(top), round(own), resonator.EndsMean, place[0], place[1])
		if k, _ := resonator.Covered(place[0], place[1], 0); !(math.Abs(k-want) <= 1e-9) {
			t.Errorf("%v: the program's constants give %v, the table's %v", place, k, want)
		}
	}
	if !(math.Abs(in-resonator.CoveredFromEnd) <= 0.001) || !(math.Abs(short-resonator.CoveredInTheMiddle) <= 0.001) {
		t.Errorf("left: %v and %v, stated %v and %v", in, short, resonator.CoveredFromEnd, resonator.CoveredInTheMiddle)
	}
	if s := math.Sqrt((squares[0] + squares[1]) / 2); s < 0.8 || s > 1.25 {
		t.Errorf("reaches are off by %v standard deviations of what is believed", s)
	}
}

func readEnds(t *testing.T, file string) (rows []endsShare) {
	t.Helper()
	f := must.Get(os.Open(file)).In(t)
	defer func() { _ = f.Close() }()
	table, err := csv.NewReader(f).ReadAll()
	if err != nil || len(table) != 1+23*len(endsCoils) {
		t.Fatal(len(table), err)
	}
	for _, record := range table[1:] {
		var v [4]float64
		for k, cell := range record {
			if v[k], err = strconv.ParseFloat(cell, 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, endsShare{int(v[0]), v[1], v[2], v[3]})
	}
	return rows
}
