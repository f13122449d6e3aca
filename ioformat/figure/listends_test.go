package figure

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonance"
)

// A figure that has room for so many shows them all; of one more it says what became of it.
func TestOneMoreThanRoom(t *testing.T) {
	rows := func(n int) string {
		var list []strip
		for i := range n {
			list = append(list, strip{name: fmt.Sprint(i), readings: make([]reading, 1)})
		}
		read, names := 0, []string{}
		for _, s := range gathered(list) {
			read += len(s.readings)
			names = append(names, s.name)
		}
		return fmt.Sprintf("%d: %s", read, strings.Join(names, " "))
	}
	cores := func(names ...string) string {
		e := encoding{cores: names}
		return strings.Join(e.shared(), " ")
	}
	hand := func(distances ...float64) string {
		e := encoding{bins: [][]float64{distances}}
		return e.shapeKeys(map[int]bool{1: true})[0].Text
	}
	r := solved(t, damped())
	v := look(r)
	predicted := func(n int) (labels string) {
		p := decisions.Prediction{State: readings.Bare(), Frequency: quantities.Estimate{Value: 2e6, Uncertainty: 1e3, Determined: true}}
		for _, d := range v.predictedByCondition(nil, slices.Repeat([]decisions.Prediction{p}, n)).Points {
			if d.Ring {
				labels += d.Label + " "
			}
		}
		return labels
	}
	shown := func(left int) string {
		v.left = left
		return strings.Join(v.remarks(), "|")
	}
	small := func(n int) string {
		s := &resonance.Result{Fitted: make([]float64, n)}
		for i := range n {
			s.Points = append(s.Points, resonance.Point{Frequency: 1e6 + float64(i), Amplitude: 1})
		}
		s.Peak.Value = 1
		return strconv.FormatBool(Resonance(s, "V").Panels[0].Points[0].Small)
	}
	var all []string
	for i := range 14 {
		all = append(all, fmt.Sprint(i))
	}
	read := len(v.readings)
	for i, c := range [][2]string{
		{rows(14), "14: " + strings.Join(all, " ")}, {rows(15), "15: " + strings.Join(all[:13], " ") + " 13 to 14"}, {rows(16), "16: 0 1 2 3 4 5 6 to 7 8 9 10 11 12 13 14 to 15"},
		{cores("", "a", "b", "c", "d"), ""}, {cores("", "a", "b", "c", "d", "e"), "d e"}, {cores("a", "b", "c", "d"), ""}, {cores("a", "b", "c", "d", "e"), "d e"},
		{hand(0.05), "hand at 5 cm"}, {hand(0.05, 0.1), "hand at 5 to 10 cm"}, {hand(0.05, 0.1, 0.2), "hand at 5 to 20 cm"},
		{predicted(12), "1 2 3 4 5 6 7 8 9 10 11 12 "}, {strings.TrimSpace(predicted(13)), ""},
		{shown(0), ""}, {shown(1), fmt.Sprintf("Shown are %d of %d readings, taken at equal steps, and all suspect ones.", read, read+1)},
		{small(60), "false"}, {small(61), "true"},
	} {
		if c[0] != c[1] {
			t.Errorf("case %d: %q, want %q", i, c[0], c[1])
		}
	}
}

// Of more priors than there is room for it is told how many were left out.
func TestPriorsLeftOut(t *testing.T) {
	notes := map[int]string{}
	for n := 9; n <= 14; n++ {
		list := []bench{{}}
		for i := range n {
			list = append(list, bench{parts: []float64{2 + 3*float64(i)}})
		}
		r := solved(t, lighthouse(2e-4, list))
		for _, s := range Priors(r).Notes {
			if strings.HasPrefix(s, "Not drawn") {
				notes[len(r.MovedPriors())] = s
			}
		}
		notes[len(r.MovedPriors())] += "."
	}
	if notes[14] != "." || notes[15] != "Not drawn: 1 prior that changed least.." || notes[16] != "Not drawn: 2 priors that changed least.." {
		t.Errorf("%v", notes)
	}
}

// Figures come in the order in which they are best read: what was measured, what follows, what is left.
func TestOrderOfTheSet(t *testing.T) {
	hand := func(d float64) bench { return bench{hand: d} }
	r := solved(t, lighthouse(2e-4, []bench{{}, {parts: []float64{4.7}}, {parts: []float64{22}}, hand(0.1), hand(0.2), {}}))
	var names []string
	for _, f := range Set(r) {
		names = append(names, f.Name)
	}
	want := "frequency inverse-square inductance-capacitance variance-budget priors hand residuals-added-capacitance residuals-run-order residuals-by-state residuals-normal-quantiles correlations"
	if got := strings.Join(names, " "); got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
