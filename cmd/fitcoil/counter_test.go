package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// counter is the log of a counter left running for n readings, with capacitors put
// on one after the other. Frequencies are those of a uniform line; they scatter by
// 50 Hz. Invented.
func counter(n int) string {
	rng := rand.New(rand.NewPCG(2, 8))
	var b strings.Builder
	b.WriteString("frequency [Hz],frequency ± [Hz],added [pF],added ± [%]\n")
	for i := range n {
		added := []string{"", "2.2", "4.7", "10", "22"}[5*i/n]
		c := 0.0
		fmt.Sscan(added, &c)
		fmt.Fprintf(&b, "%.1f,50,%s,0.1\n", lineFrequency(1.25e-3, 6e-12, 1e-12+c*1e-12)+50*rng.NormFloat64(), added)
	}
	return b.String()
}

// lineFrequency solves cot θ = θ·top/winding by halving.
func lineFrequency(inductance, winding, top float64) float64 {
	low, high := 0.0, math.Pi/2
	for range 60 {
		if mid := (low + high) / 2; math.Cos(mid) > mid*math.Sin(mid)*top/winding {
			low = mid
		} else {
			high = mid
		}
	}
	return low / (2 * math.Pi * math.Sqrt(inductance*winding))
}

// What nobody looks at one by one is shown by state, and the coil is found from all
// of it.
func TestCounterLog(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("counter.csv", []byte(counter(20000)), 0o666))
	a := ask("", "fit", "counter.csv")
	if a.code != exitAnswered || !strings.Contains(a.out, "20000 readings, as the means of 5 states") ||
		!strings.Contains(strings.Join(strings.Fields(a.out), " "), "the mean of each of 5 states counts as one reading") {
		t.Errorf("exit code %d\n%s%s", a.code, a.out, a.err)
	}
	if n := strings.Count(a.out, "\n"); n > 30 {
		t.Errorf("%d lines of output", n)
	}
	var r struct {
		Parameters []struct {
			Name        string
			Value       float64
			Uncertainty float64 `json:"standard_uncertainty"`
		}
		Readings []struct {
			Uncertainty float64 `json:"standard_uncertainty"`
			Repeats     struct {
				Count     int
				Deviation float64 `json:"standard_deviation"`
			}
		}
	}
	a = ask("", "fit", "counter.csv", "--json", "--quiet", "--known", "lead=0pF±0.001fF", "--known", "drift=0±0.01ppm")
	must.Do(t, json.NewDecoder(bytes.NewReader([]byte(a.out))).Decode(&r))
	for _, o := range r.Readings { // a standard deviation from 4,000 readings is good to 1.1 %
		if o.Repeats.Count != 4000 || !(math.Abs(o.Repeats.Deviation/50-1) <= 0.05) || !(math.Abs(o.Uncertainty/(50/math.Sqrt(4000))-1) <= 0.05) {
			t.Errorf("%d readings scatter by %.2f Hz, mean ± %.3f Hz", o.Repeats.Count, o.Repeats.Deviation, o.Uncertainty)
		}
	}
	want := map[string]float64{"inductance": 1.25e-3, "winding_capacitance": 6e-12, "top_capacitance": 1e-12}
	for _, p := range r.Parameters {
		if w, ok := want[p.Name]; ok && !(math.Abs(p.Value-w) < 3*p.Uncertainty && p.Uncertainty < 0.02*w) {
			t.Errorf("%s = %g ± %g, want %g", p.Name, p.Value, p.Uncertainty, w)
		}
	}
	plain := r
	r.Readings = nil
	a = ask("", "fit", "counter.csv", "--robust", "--json", "--quiet")
	must.Do(t, json.NewDecoder(bytes.NewReader([]byte(a.out))).Decode(&r))
	if len(r.Readings) != len(plain.Readings) {
		t.Errorf("a robust fit shows %d states, want %d", len(r.Readings), len(plain.Readings))
	}
	for i, o := range r.Readings { // Huber's estimate costs 5 % of the efficiency where nothing is misread
		if u := plain.Readings[i].Uncertainty; o.Repeats.Count != 4000 || o.Uncertainty < 0.99*u || o.Uncertainty > 1.06*u {
			t.Errorf("a robust mean of %d readings ± %.3f Hz, the mean ± %.3f Hz", o.Repeats.Count, o.Uncertainty, u)
		}
	}
}
