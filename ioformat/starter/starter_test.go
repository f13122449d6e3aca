package starter

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

func TestWritten(t *testing.T) {
	got := Written([]string{"date: 12 November", "operator:", "", "note         anything", "cover closed"})
	if want := []string{"date: 12 November", "", "cover closed"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// All that the log to fill in explains is left out, from its first line to its last, and what is asked of is
// left as it is.
func TestNothingOfTheStarterIsOwn(t *testing.T) {
	var comments []string
	for line := range strings.SplitSeq(string(Log), "\n") {
		if text, found := strings.CutPrefix(line, "#"); found && strings.TrimSpace(text) != "" {
			comments = append(comments, strings.TrimSpace(text))
		}
	}
	asked := append(slices.Clone(comments), "mine")
	if got := Written(asked); !slices.Equal(got, []string{"mine"}) || !slices.Equal(asked[:len(comments)], comments) || len(comments) < 20 || comments[0] != "date:" {
		t.Errorf("%q of %d comments, of which %q", got, len(comments), asked[:1])
	}
}

// The rows that the log to fill in shows are readings of the coil that the sheet describes, once their # is
// taken away; until then there is none.
func TestRowsShownAreUnderstood(t *testing.T) {
	log := string(Log)
	if l, err := benchlog.Read(strings.NewReader(log), "log.csv", benchlog.Options{Blank: true}); err != nil || len(l.Readings) != 0 {
		t.Fatalf("%v", err)
	}
	for line := range strings.SplitSeq(string(Log), "\n") {
		if strings.HasPrefix(line, "#   ") && strings.Count(line, ",") > 5 {
			log += strings.TrimPrefix(line, "#   ") + "\n"
		}
	}
	l := must.Get(benchlog.Read(strings.NewReader(log), "log.csv", benchlog.Options{})).In(t)
	want := []struct {
		hertz float64
		parts int
		core  string
	}{{2.519e6, 0, ""}, {1.613e6, 1, ""}, {1.146e6, 1, "rod"}}
	if len(l.Readings) != len(want) || len(l.Warnings) > 0 || len(l.Parts) != 1 || math.Abs(l.Parts[0].Capacitance/4.7e-12-1) > 1e-9 || math.Abs(l.Parts[0].Uncertainty/(0.05*4.7e-12/1.96)-1) > 1e-3 {
		t.Fatalf("%+v, %q", l.Log, l.Warnings)
	}
	for i, r := range l.Readings {
		if w := want[i]; math.Abs(r.Frequency/w.hertz-1) > 1e-9 || math.Abs(r.Uncertainty-800) > 1e-6 || len(r.Parts) != w.parts || r.Core != w.core || w.core != "" && (r.From != 0 || r.To != 1) {
			t.Errorf("%+v, want %+v", r, w)
		}
	}
	if s, err := coilsheet.Read(strings.NewReader(string(Sheet)), "sheet.csv"); err == nil && s.CanPredict() {
		t.Error("a sheet with its head alone describes a coil")
	}
	_, rows, _ := strings.Cut(string(Sheet), "unit\n")
	s := must.Get(coilsheet.Read(strings.NewReader("quantity,value,±,unit\n"+strings.ReplaceAll(rows, "# ", "")), "sheet.csv")).In(t)
	var session estimation.Session
	session.Log = l.Log
	must.Do(t, s.Tell(&session))
	parts := s.PartsBeside(map[string]benchlog.PartValue{})
	roof, by := parts["brass roof"], session.Known
	if len(parts) != 1 || math.Abs(roof.Capacitance/2.8e-12-1) > 1e-9 || math.Abs(roof.Uncertainty/(0.05*2.8e-12/1.96)-1) > 1e-3 || len(by) != 1 || by[0].Name != quantities.Inductance || math.Abs(by[0].Value/1.27e-3-1) > 1e-9 || math.Abs(by[0].Uncertainty/12.7e-6-1) > 1e-9 {
		t.Errorf("%+v, %+v", parts, by)
	}
	if !s.CanPredict() || len(s.Notices) > 0 || strings.Count(rows, "\n") != 15 {
		t.Errorf("%q of\n%s", s.Notices, rows)
	}
	for name, value := range map[string]float64{"turns": 640, "winding diameter": 28.3e-3, "winding length": 0.24, "wire diameter": 0.32e-3, "ball diameter": 18e-3, "height above ground": 0.05,
		"bead diameter": 16e-3, "bead length": 10e-3, "bead spacing": 4e-3, "bead count": 17, "bead start": 2e-3, "bead permeability": 120} {
		if got := s.Value(name); math.Abs(got/value-1) > 1e-9 {
			t.Errorf("%s is %g, want %g", name, got, value)
		}
	}
}
