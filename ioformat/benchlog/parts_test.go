package benchlog

import (
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

const partsHeader = "frequency [MHz],added [pF],added ± [%]\n"

func TestTolerances(t *testing.T) {
	for _, c := range []struct {
		name, log string
		opt       Options
		bounds    []float64 // of the parts in order, pF, at 95 %
	}{
		{"default", partsHeader + "1.5,10,\n", Options{}, []float64{0.5}},
		{"of the command line", partsHeader + "1.5,10,\n", Options{Tolerance: 0.02}, []float64{0.2}},
		{"exact unless stated", partsHeader + "1.5,10,\n1.4,22,1\n", Options{Exact: true}, []float64{0, 0.22}},
		{"stated in percent", partsHeader + "1.5,10,1\n", Options{}, []float64{0.1}},
		{"stated as zero", partsHeader + "1.5,10,0\n", Options{}, []float64{0}},
		{"percent of each in a sum", partsHeader + "1.5,10+22,1\n", Options{}, []float64{0.1, 0.22}},
		{"stated once, in the second row", partsHeader + "1.5,10,\n1.4,10.0,1\n", Options{}, []float64{0.1}},
		{"the same in two ways", "frequency [MHz],added [pF],added ±\n1.5,10,5 %\n1.4,10,0.5 pF\n", Options{}, []float64{0.5}},
		{"absolute", "frequency [MHz],added [pF],added ± [pF]\n1.5,10,0.25\n", Options{}, []float64{0.25}},
		{"beside the value", partsHeader + "1.5,10±2%+22,\n", Options{}, []float64{0.2, 1.1}},
		{"beside the value and in its column", partsHeader + "1.5,10±2%+22,1\n", Options{}, []float64{0.2, 0.22}},
		{"beside nothing", partsHeader + "1.5,,5\n1.4,10,\n", Options{}, []float64{0.5}},
	} {
		l := mustRead(t, []byte(c.log), c.opt)
		if len(l.Parts) != len(c.bounds) {
			t.Errorf("%s: %+v", c.name, l.Parts)
			continue
		}
		for i, p := range l.Parts {
			// 1.96: the 95 % quantile of the normal distribution, two-sided
			if want := c.bounds[i] * 1e-12 / 1.96; !(math.Abs(p.Uncertainty-want) <= 1e-12*want) {
				t.Errorf("%s: %s has u = %v, want %v", c.name, p.Name, p.Uncertainty, want)
			}
		}
	}
}

func TestPartsAreTheSame(t *testing.T) {
	l := mustRead(t, []byte("frequency [MHz],added\n1.5,4.7 pF\n1.4,4.70p\n1.3,0.0047nF\n1.2,4.7pF+4.7pF\n1.1,Large Ball\n1.0,large  ball+4.7pF\n0.9,LARGEBALL\n0.8,0\n0.7,4.7e0pF\n"), Options{})
	want := [][]int{{0}, {0}, {0}, {0, 1}, {2}, {2, 0}, {2}, nil, {0}}
	for i, r := range l.Readings {
		if len(r.Parts) != len(want[i]) {
			t.Errorf("line %d: parts %v, want %v", r.Line, r.Parts, want[i])
			continue
		}
		for j := range r.Parts {
			if r.Parts[j] != want[i][j] {
				t.Errorf("line %d: parts %v, want %v", r.Line, r.Parts, want[i])
			}
		}
	}
	for i, name := range []string{"4.7 pF", "4.7 pF (2)", "Large Ball"} {
		if l.Parts[i].Name != name {
			t.Errorf("part %d is called %q, want %q", i, l.Parts[i].Name, name)
		}
	}
	if l.Parts[2].Known {
		t.Error("a name without a value counts as known")
	}
}

func TestPartsKnownFromElsewhere(t *testing.T) {
	opt := Options{Parts: map[string]PartValue{
		"Spike":  {Capacitance: 2.1e-12, Uncertainty: 0.05e-12},
		"4.7 pF": {Capacitance: 4.62e-12, Uncertainty: 0.01e-12},
		"cone":   {Capacitance: 3e-12, Uncertainty: 0.1e-12}, // in no reading
	}}
	l := mustRead(t, []byte(partsHeader+"1.5,spike,5\n1.4,4.70,5\n1.3,spike+10,5\n"), opt)
	want := []readings.Part{
		{Name: "spike", Capacitance: 2.1e-12, Uncertainty: 0.05e-12, Known: true},
		{Name: "4.70 pF", Capacitance: 4.62e-12, Uncertainty: 0.01e-12, Known: true},
		{Name: "10 pF", Capacitance: 10e-12, Uncertainty: 0.5e-12 / 1.96, Known: true},
	}
	checkLog(t, readings.Log{Parts: l.Parts}, readings.Log{Parts: want})
	if len(l.Notices) != 2 || !strings.Contains(l.Notices[0], `the ± beside "spike" is not used`) {
		t.Errorf("notices: %q", l.Notices)
	}
	state, err := l.States().Parse([]string{"added=cone"})
	if err != nil || len(state.Parts) != 1 {
		t.Errorf("a part known from elsewhere can't be predicted: %v", err)
	}
}

// The word rectangular makes a tolerance the limit of an error: u is a/√3 (JCGM 100:2008, 4.3.7).
func TestRectangularWord(t *testing.T) {
	for _, c := range []struct {
		tolerance   string
		opt         Options
		u           float64
		rectangular bool
		common      float64
	}{
		{"3 %", Options{}, 0.03 / 1.96, false, 0.25},
		{"3 % rectangular", Options{}, 0.03 / math.Sqrt(3), true, 0.25},
		{"3 % own rectangular", Options{}, 0.03 / math.Sqrt(3), true, 0},
		{"3 % Rectangular common", Options{}, 0.03 / math.Sqrt(3), true, 1},
		{"3 %", Options{Share: Rectangular}, 0.03 / math.Sqrt(3), true, 0.25},
		{"3 % normal", Options{Share: Rectangular | Own}, 0.03 / 1.96, false, 0},
		{"", Options{Tolerance: 0.03, Share: Rectangular}, 0.03 / math.Sqrt(3), true, 0.25},
	} {
		l := must.Get(Read(strings.NewReader("frequency [MHz],added [pF],added ±\n2.5,,\n1.6,4.7,"+c.tolerance+"\n"), "log.csv", c.opt)).In(t)
		p := l.Parts[0]
		if !(math.Abs(p.Uncertainty/(4.7e-12*c.u)-1) <= 1e-9) || p.Rectangular != c.rectangular || p.Common != c.common {
			t.Errorf("%q, %v: %+v, want u = %g of it", c.tolerance, c.opt.Share, p, c.u)
		}
	}
	for _, text := range []string{"3 % own own", "3 % rectangular normal"} {
		if _, err := Read(strings.NewReader("frequency [MHz],added [pF],added ±\n2.5,,\n1.6,4.7,"+text+"\n"), "log.csv", Options{}); err == nil {
			t.Errorf("%q is read", text)
		}
	}
}
