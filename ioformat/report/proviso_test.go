package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
)

// oneReel is a fit of a log that doesn't say whether its capacitors [pF] err alike.
func oneReel(t *testing.T, capacitors ...float64) *model.Result {
	t.Helper()
	text := "frequency [MHz],frequency ± [kHz],added [pF]\n2.4781,0.3,\n"
	for _, c := range capacitors {
		text += fmt.Sprintf("%.4f,0.3,%v\n", 1e-6/(2*math.Pi*math.Sqrt(1.25e-3*(3.3+c)*1e-12)), c)
	}
	l := must.Get(benchlog.Read(strings.NewReader(text), "log.csv", benchlog.Options{})).In(t)
	return mustFit(t, estimation.Session{Log: l.Log, Lumped: true})
}

// What all parts of one reel would do to the uncertainties is told from a fifth on, unless nothing holds.
func TestProvisoTurns(t *testing.T) {
	told := map[bool]int{}
	all := []float64{1, 1.5, 2.2, 3.3, 4.7, 6.8, 10, 15, 22, 33}
	for n := range all {
		r := oneReel(t, all[:n+1]...)
		factor, got := r.MostIfCommon(), Proviso(r)
		if (got != "") != (factor >= 1.2) || got != "" && !strings.Contains(got, "up to ×\u00a0"+quantity.Digits(factor, 2)+":") {
			t.Errorf("%v: %q", factor, got)
		}
		told[got != ""]++
		if factor > 1.2 && factor < 1.3 {
			told[true] += 100
		}
		r.Findings = []findings.Finding{{Kind: findings.CapacitanceBelowZero}}
		if got := Proviso(r); got != "" {
			t.Errorf("%q", got)
		}
	}
	if told[false] == 0 || told[true] < 100 {
		t.Errorf("%v", told)
	}
}

// An answer in brief says under its verdict on what its ± depend.
func TestProvisoStandsBelowTheVerdict(t *testing.T) {
	r := oneReel(t, 1, 1.5, 2.2, 3.3, 4.7, 6.8, 10, 15, 22, 33)
	s := strings.ReplaceAll(Proviso(r), noBreak, " ")
	for _, full := range []bool{false, true} {
		got := strings.ReplaceAll(flat(t, func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, Source{}, View{Full: full}) }), noBreak, " ")
		if s == "" || strings.Count(got, s) != 1 {
			t.Errorf("no %q in\n%s", s, got)
		}
	}
}

// What tolerances in common would do stands beside them, and beside nothing else.
func TestIfCommonStandsWithIt(t *testing.T) {
	r := oneReel(t, 1, 1.5, 2.2, 3.3, 4.7, 6.8, 10, 15, 22, 33)
	r.Assumed = []estimation.Assumption{{Kind: estimation.AssumedDigits, Count: 2}, {Kind: estimation.AssumedCommon, Names: []string{"a", "b"}}}
	if list, most := assumed(r), r.MostIfCommon(); list[0].IfCommon != nil || list[1].IfCommon == nil || *list[1].IfCommon != most || most < 1.2 {
		t.Errorf("%+v, want %v", list, most)
	}
}
