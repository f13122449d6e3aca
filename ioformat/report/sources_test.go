package report

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What a clip or a drift leaves open is told of where that makes a tenth of the variance, each by its
// own share: here parts are known to 0.01 %, and one of both by heart.
func TestOpenQuestionsByTheirShares(t *testing.T) {
	for _, c := range []struct {
		known string
		want  findings.Gap
	}{{quantities.LeadCapacitance, findings.GapDrift}, {quantities.Drift, findings.GapLead}} {
		of := log(0, 4.7)
		for i := range of.Parts {
			of.Parts[i].Uncertainty = 1e-4 * of.Parts[i].Capacitance
		}
		r := mustFit(t, estimation.Session{Log: of, Lumped: true, Known: []quantities.Known{{Key: quantities.Key{Name: c.known}}}})
		r.Undetermined = []findings.Undetermined{{What: findings.GapLead}, {What: findings.GapDrift}, {What: findings.GapPart}}
		var got []findings.Gap
		for _, u := range openQuestions(r) {
			got = append(got, u.What)
		}
		if !slices.Equal(got, []findings.Gap{c.want, findings.GapPart}) {
			t.Errorf("with %s known: %v, want %v", c.known, got, c.want)
		}
		text := newText(View{}) // in brief both are told as limits alone
		text.open(r, 0)
		if got := text.String(); !strings.HasPrefix(got, "Not determined  the capacitance of") || strings.Contains(got, "\nand ") {
			t.Errorf("%q", got)
		}
	}
}

// Each share of a variance stands beside what it is of.
func TestSharesBesideTheirSources(t *testing.T) {
	var b strings.Builder
	out := newText(View{})
	e := quantities.Estimate{Budget: quantities.Budget{Readings: 0.02, Tolerance: 0.04, Known: 0.32, Assumed: 0.4, Model: 0.22}}
	out.budget(&e, "the gain")
	must.Do(t, out.to(&b))
	got := strings.Join(strings.Fields(strings.ReplaceAll(b.String(), noBreak, " ")), " ")
	if want := "Limited by priors: 40 % of the variance of the gain; known values: 32 %; the model: 22 %"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := varianceFrom(&e), "readings 2 %, tolerances 4 %, known values 32 %, prior 40 %, model 22 %"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// With its core in, a coil has the voltages of the mode with the core.
func TestVoltagesOfEachMode(t *testing.T) {
	d := drawnCoil()
	d.Core = &field.CorePrediction{Mode: field.Profile{Height: []float64{0, 0.05, 0.1}, Voltage: []float64{0, 0.75, 1}, Current: []float64{1, 0.5, 0.25}, Base: 3e-5}}
	list := drawnStress(d)
	if len(list) != 2 || list[0].Current != 5e-5 || list[1].Current != 3e-5 || list[0].At(0.05) != 0.5 || list[1].At(0.05) != 0.75 || list[1].name != "core beads" {
		t.Errorf("%+v", list)
	}
}

// A ferrite's dispersion is told by the frequencies read with it and by changes, not by ratios.
func TestDispersionInWords(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 4.7, 10), Lumped: true})
	for i := range r.Readings {
		o := &r.Session.Log.Readings[i]
		o.State = withState(o.State, func(s *readings.State) { s.Core, s.To = "rod", 1 })
	}
	d := drawnCoil()
	d.Core = &field.CorePrediction{}
	d.Drawing.Coil.Slices, d.Drawing.Coil.Beads = 8, field.Beads{Diameter: 0.01, Length: 0.1, Count: 1, Permeability: 600}
	r.Session.Drawn = &drawing.Drawn{Prediction: d.Prediction, Drawing: d.Drawing}
	may, ok := findings.Disperses(r.Result)
	if !ok || !(may.Permeability > 1) || !(may.Gain > 0) {
		t.Fatalf("%+v %v", may, ok)
	}
	percent := func(change float64) string { return quantity.Digits(100*change, 2) + " %" }
	says(t, "dispersion", dispersionWords(r, "rod")[0], quantity.FormatValue(may.Low, 3, "Hz").String()+" to "+quantity.FormatValue(may.High, 3, "Hz").String(),
		"permeability of such ferrite may move by "+percent(may.Permeability-1), "moves the gain by "+percent(may.Gain))
	if dispersionWords(r, "tube") != nil {
		t.Error("told of another core")
	}
}

// In JSON each row of the covariance is of the quantity named at its place, and holds its variance there.
func TestCovarianceBesideItsNames(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10)})
	m := covariance(r)
	joint := r.Joint()
	if len(m.Names) != len(joint.Estimates) || len(m.Matrix) != len(m.Names) || len(m.Names) < 5 {
		t.Fatalf("%d names, %d rows", len(m.Names), len(m.Matrix))
	}
	for i, row := range m.Matrix {
		e := r.Find(quantities.Key{Name: m.Names[i]})
		if e == nil { // of a part
			e = joint.Estimates[i]
		}
		if u := e.Uncertainty; len(row) != len(m.Names) || !(math.Abs(row[i]/(u*u)-1) <= 1e-6) {
			t.Errorf("%s: variance %v, u² %v", m.Names[i], row[i], u*u)
		}
		for j := range row {
			if bound := 1.000001 * joint.Estimates[i].Uncertainty * joint.Estimates[j].Uncertainty; row[j] != m.Matrix[j][i] || !(math.Abs(row[j]) <= bound) {
				t.Errorf("%s with %s: %v and %v", m.Names[i], m.Names[j], row[j], m.Matrix[j][i])
			}
		}
	}
}

// What stands off the drawing is told whether it is above it or below.
func TestDrawingEitherWay(t *testing.T) {
	for sigmas, want := range map[float64]string{
		2.5: "inductance in air as measured +10 % against the drawing (2.5 σ)", -2.5: "inductance in air as measured −9 % against the drawing (2.5 σ)", -1.9: "consistent with the readings",
	} {
		r := consistent()
		read := 1.1e-3
		if sigmas < 0 {
			read = 0.91e-3
		}
		r.Checks = []estimation.Check{{Drawn: estimateOf(quantities.Inductance, "H", 1e-3, 1e-5), Readings: estimateOf(quantities.Inductance, "H", read, 1e-5), Sigmas: sigmas}}
		var b strings.Builder
		out := newText(View{})
		out.drawing(r, 0)
		must.Do(t, out.to(&b))
		if got := strings.Join(strings.Fields(strings.ReplaceAll(b.String(), noBreak, " ")), " "); got != "Drawing "+want {
			t.Errorf("%v: %q, want %q", sigmas, got, want)
		}
	}
}
