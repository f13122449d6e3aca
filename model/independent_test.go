package model

import (
	"encoding/csv"
	"io"
	"math"
	"os"
	"strconv"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// uniformLineLog reads testdata/uniform-line.csv: kHz and pF, exact capacitors.
func uniformLineLog(t testing.TB) (log readings.Log) {
	t.Helper()
	file := must.Get(os.Open("testdata/uniform-line.csv")).In(t)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	must.Get(r.Read()).In(t)
	for {
		row, err := r.Read()
		if err == io.EOF {
			return log
		}
		if err != nil {
			t.Fatal(err)
		}
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		s := readings.Bare()
		s.Exact = 1e-12 * v[2]
		log.Readings = append(log.Readings, readings.Reading{State: s, Frequency: 1e3 * v[0], Uncertainty: 1e3 * v[1], Use: true})
	}
}

// The same equations, written anew in Python and in C and solved by SciPy 1.10.1
// (least_squares, method lm) and cminpack 1.3.6 (lmder), give these values and
// standard uncertainties: see scripts/compare. A fit may stop 1e-3 standard
// uncertainties from the minimum.
func TestUniformLineAgainstIndependentFits(t *testing.T) {
	r := mustFit(t, idealBench(estimation.Session{Log: uniformLineLog(t)}))
	for _, want := range []struct {
		name     string
		value, u float64
	}{
		{quantities.Inductance, 1.250474091e-3, 4.345090e-7},
		{quantities.WindingCapacitance, 5.912547268e-12, 2.530307e-14},
		{quantities.TopCapacitance, 8.931855976e-13, 1.199297e-14},
	} {
		e := r.Find(quantities.Key{Name: want.name})
		if !(math.Abs(e.Value-want.value) <= estimation.Offset*want.u) || !(math.Abs(e.Uncertainty/want.u-1) <= 1e-4) {
			t.Errorf("%s = %.10g ± %.6g, want %.10g ± %.6g", want.name, e.Value, e.Uncertainty, want.value, want.u)
		}
	}
}

// The fit that scripts/compare times against the others: from readings to the
// unknowns and their triangle.
func BenchmarkUniformLine(b *testing.B) {
	log := uniformLineLog(b)
	s := estimation.Session{Log: log}
	var evaluations int
	for b.Loop() {
		p := must.Get(estimation.NewProblem(s)).In(b)
		r, _, err := p.Solve(p.Start(log), false, estimation.SolverSettings(s))
		if err != nil || !r.Status.Converged() {
			b.Fatal(r.Status, err)
		}
		evaluations = r.Evaluations
	}
	b.ReportMetric(float64(evaluations), "evaluations/op")
}
