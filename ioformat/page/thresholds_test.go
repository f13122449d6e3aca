package page

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A slider has some two hundred steps of 1, 2 or 5, and ends at a round number.
func TestRoundSteps(t *testing.T) {
	for most, want := range map[float64]float64{200: 1, 201: 2, 400: 2, 401: 5, 1000: 5, 1001: 10, 2000: 10, 2001: 20, 0.2: 0.001, 0.5: 0.005} {
		if got := step(most); !(math.Abs(got/want-1) < 1e-9) {
			t.Errorf("to %v in steps of %v, want %v", most, got, want)
		}
	}
	for x, want := range map[float64]float64{0.9: 1, 1: 1, 1.01: 2, 2.01: 2.5, 2.51: 4, 4.01: 5, 5.01: 8, 8.01: 10, 99: 100, 0.03: 0.04} {
		if got := niceAbove(x); !(math.Abs(got/want-1) < 1e-9) {
			t.Errorf("above %v: %v, want %v", x, got, want)
		}
	}
}

// The name of a field has up to twenty letters, its text up to sixty characters.
func TestFieldsAreShort(t *testing.T) {
	for c, want := range map[[2]int]int{{20, 60}: 1, {21, 60}: 0, {20, 61}: 0, {2, 1}: 1, {1, 1}: 0} {
		h := newHead([]string{strings.Repeat("a", c[0]) + ": " + strings.Repeat("b", c[1])})
		if len(h.Fields) != want || len(h.Text) != 1-want {
			t.Errorf("%d letters and %d characters: %+v", c[0], c[1], h)
		}
	}
}

// An expansion holds where its frequency is within 5e-8 of the model's, and its uncertainty within half a
// percent: by far less than what is printed.
func TestExpansionHolds(t *testing.T) {
	e := expansion{axes: []axis{{Name: "hand", From: 0, To: 1, N: 1}}, lnF: []float64{14}, v: []float64{1e-6}, step: 1e-14}
	for c, want := range map[[2]float64]bool{{0, 0}: true, {4e-8, 0}: true, {-4e-8, 0}: true, {6e-8, 0}: false, {-6e-8, 0}: false,
		{0, 4e-3}: true, {0, -4e-3}: true, {0, 6e-3}: false, {0, -6e-3}: false, {math.NaN(), 0}: false} {
		sample := func([]float64) (lnF, v float64, ok bool) { return 14 + c[0], 1e-6 / (1 + c[1]) / (1 + c[1]), true }
		if got := e.holdsAt(sample, 3); got != want {
			t.Errorf("off by %v: holds %v", c, got)
		}
	}
	if e.holdsAt(func([]float64) (lnF, v float64, ok bool) { return 14, 1e-6, false }, 3) {
		t.Error("holds what the readings don't determine")
	}
}

// Where the effect of a core grows bead by bead, the slider stops at each twentieth that is determined.
func TestCoverageInSteps(t *testing.T) {
	p, m := &panel{Covered: &slider{Step: 1}}, mode{core: "rod"}
	axes, ok := p.stepwise(&m, func(x []float64) (lnF, v float64, ok bool) { return 0, 0, x[0] != 0.5 })
	var want []float64
	for n := 1; n < 20; n++ {
		if n != 10 {
			want = append(want, float64(n)/20)
		}
	}
	if !ok || len(axes) != 1 || fmt.Sprint(axes[0].Values) != fmt.Sprint(want) || axes[0].N != 18 || p.Covered.Step != 5 {
		t.Errorf("%v %+v in steps of %v", ok, axes, p.Covered.Step)
	}
	if _, ok := p.stepwise(&m, func([]float64) (lnF, v float64, ok bool) { return 0, 0, false }); ok {
		t.Error("nothing is determined")
	}
}

// Unless a voltage is given, that at the top is one kilovolt.
func TestKilovoltUnlessGiven(t *testing.T) {
	r := museum(t, true)
	unsaid, said := must.Get(voltageBlock(r, 0)).In(t), must.Get(voltageBlock(r, 1e3)).In(t)
	if a, b := fmt.Sprint(unsaid.Tables[0].Rows), fmt.Sprint(said.Tables[0].Rows); a != b || len(unsaid.Tables[0].Columns) != 1+min(3, 1+len(r.Cores())) {
		t.Errorf("%s, and for a kilovolt %s, of cores %q", a, b, r.Cores())
	}
}

// dialOf is the scale of a coil of a bare frequency with readings of others [Hz].
func dialOf(bare float64, read ...float64) *dial {
	r := &model.Result{Result: &estimation.Result{Derived: []quantities.Estimate{estimateOf(quantities.BareFrequency, "Hz", bare, 1e3)}}}
	for _, f := range read {
		r.Readings = append(r.Readings, estimation.ReadingResult{Reading: readings.Reading{State: readings.Bare(), Frequency: f, Uncertainty: 1e3}})
	}
	return newDial(r, nil)
}

// A scale has about six ticks: 1.00 to 2.16 MHz are divided in quarters, 1.00 to 2.14 in fifths.
func TestTicksOfADial(t *testing.T) {
	for high, want := range map[float64]string{2.16e6: "0.75 1 1.25 1.5 1.75 2 2.25", 2.14e6: "0.8 1 1.2 1.4 1.6 1.8 2 2.2"} {
		var got []string
		for _, k := range dialOf(2e6, 1e6, high).Ticks {
			got = append(got, k.Label)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// No reading stands off the scale, or at its very end, also where it lies just beyond a tick, or just on it.
func TestReadingsWithinTheDial(t *testing.T) {
	for _, ends := range [][2]float64{{1e6, 2e6}, {1e6, 2.00002e6}, {0.99999e6, 2e6}, {0.99999e6, 2.00002e6}, {1.00001e6, 1.99999e6}, {0.8e6, 2.4e6}, {2.5e6, 2.5e6}} {
		if d := dialOf(ends[1], ends[:]...); !(d.Min < ends[0] && ends[1] < d.Max) {
			t.Errorf("%v on a scale from %v to %v", ends, d.Min, d.Max)
		}
	}
}

// A scale goes down to the lowest frequency that the sliders reach, at whichever end of each that is, and holds the bare coil's
// where nobody read it.
func TestReachOfADial(t *testing.T) {
	straight := func(name string) axis { return axis{Name: name, To: 1, N: 2} }
	for _, slope := range []float64{0.5, -0.5} { // ln f = ln 1e6 + slope · T₁ of each
		one := mode{expansion: &expansion{axes: []axis{straight("added")}, lnF: []float64{math.Log(1e6), slope}, v: []float64{0, 0}}}
		two := mode{expansion: &expansion{axes: []axis{straight("added"), straight("hand")}, lnF: []float64{math.Log(1e6), slope, -slope, 0}, v: make([]float64, 4)}}
		if got := one.reach(); math.Abs(got/(1e6*math.Exp(-0.5))-1) > 1e-9 {
			t.Errorf("%v: %v", slope, got)
		}
		if got := two.reach(); math.Abs(got/(1e6*math.Exp(-1))-1) > 1e-9 {
			t.Errorf("%v: %v", slope, got)
		}
	}
	for _, bare := range []float64{0.5e6, 2e6} {
		if d := dialOf(bare, 1e6, 1.5e6); !(d.Min < bare && bare < d.Max) {
			t.Errorf("the bare coil at %v, on a scale from %v to %v", bare, d.Min, d.Max)
		}
	}
}
