package report

import (
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// blocksOf returns what is written as blocks and points, a bar between cells.
func blocksOf(write func(t *text)) (list []string) {
	out := &text{width: math.MaxInt32, answer: &Answer{}}
	write(out)
	for _, b := range out.answer.Blocks {
		list = append(list, strings.Trim(b.Title+": "+strings.Join(b.Head, "|"), ": "))
		for _, row := range b.Rows {
			list = append(list, strings.ReplaceAll(strings.Join(row, "|"), noBreak, " "))
		}
	}
	for _, p := range out.answer.Points {
		list = append(list, p.Label+": "+strings.Join(p.Text, "|"))
	}
	return list
}

// The answer in brief has the coil, its cores, parts and leads in rows of value and remark, each with its own numbers; what the
// readings leave open is said or left out.
func TestBlocksOfTheAnswer(t *testing.T) {
	with := func(change func(r *model.Result, find func(name, core string) *quantities.Estimate)) *model.Result {
		r := twoOfEach(t)
		if change != nil {
			change(r, func(name, core string) *quantities.Estimate {
				return r.Find(quantities.Key{Name: name, Core: core})
			})
		}
		return r
	}
	coil := func(r *model.Result) []string { return blocksOf(func(t *text) { t.coil(r) }) }
	cores := func(r *model.Result) []string { return blocksOf(func(t *text) { t.cores(r, 0) }) }
	core := func(r *model.Result) []string { return blocksOf(func(t *text) { t.core(r, "rod") }) }
	parts := func(r *model.Result) []string { return blocksOf(func(t *text) { t.parts(r, 0) }) }
	type lookup = func(name, core string) *quantities.Estimate
	const title, open = "Coil, bare, seen from the top", "not determined by these readings"
	const f, c, z, stray = "frequency|2.5000 ± 0.0010 MHz|", "capacitance|4.050 ± 0.080 pF|", "impedance|15.70 ± 0.30 kΩ|", "stray|0.50 ± 0.10 pF|at the top beyond the drawing"
	const head, rod = "Cores, all the way in: |inductance|capacitance|frequency", "rod|× 1.900 ± 0.020|+ 0.200 ± 0.050 pF|− 700.0 ± 2.0 kHz"
	const bead = "bead|× 1.500 ± 0.020|+ 0.100 ± 0.050 pF|− 350.0 ± 2.0 kHz"
	for i, k := range []struct {
		got  []string
		want []string
	}{
		{coil(with(nil)), []string{title, f, "inductance|1.000 ± 0.020 mH|at low frequency 1.200 ± 0.030 mH", c, z, stray}},
		{coil(with(func(_ *model.Result, find lookup) { find(quantities.EffectiveInductance, "").Determined = false })), []string{title, f, "L × C|4050.0 ± 3.2 ns²|", "inductance|" + open + "|", c, z, stray}},
		{coil(with(func(_ *model.Result, find lookup) {
			find(quantities.EffectiveInductance, "").Determined, find(quantities.LCProduct, "").Determined = false, false
		})), []string{title, f, "inductance|" + open + "|", c, z, stray}},
		{coil(with(func(_ *model.Result, find lookup) {
			find(quantities.Inductance, "").Bound, find(quantities.Impedance, "").Determined, find(quantities.StrayCapacitance, "").Determined = fit.AtLower, false, false
		})), []string{title, f, "inductance|1.000 ± 0.020 mH|", c}},
		{coil(with(func(_ *model.Result, find lookup) {
			find(quantities.EffectiveInductance, "").Value, find(quantities.EffectiveInductance, "").Uncertainty = 0.95e-3, 0.03e-3
		})), []string{title, f, "inductance|0.950 ± 0.030 mH|at low frequency 1.200 ± 0.030 mH", c, z, stray}}, // in one unit
		{cores(with(nil)), []string{head, rod, bead}},
		{cores(with(func(_ *model.Result, find lookup) {
			find(quantities.CoreGain, "bead").Determined, find(quantities.CoreFrequencyDrop, "bead").Determined = false, false
			find(quantities.CoreCapacitance, "rod").Value = -0.2e-12
			find(quantities.CoreFrequencyDrop, "rod").Covered = [2]float64{0, 0.6}
		})), []string{head, "rod|× 1.900 ± 0.020|− 0.200 ± 0.050 pF|− 700.0 ± 2.0 kHz, 60 % covered", "bead|not determined|+ 0.100 ± 0.050 pF|not determined"}},
		{cores(&model.Result{Result: &estimation.Result{Problem: &estimation.Problem{}}}), nil},
		{core(with(nil)), []string{"Core rod, all the way in", "inductance|× 1.900 ± 0.020|", "capacitance|+ 0.200 ± 0.050 pF|", "frequency|− 700.0 ± 2.0 kHz|2.5000 to 1.8000 MHz", "amplitude|× 0.512 (1 pair of readings)|"}},
		{core(with(func(_ *model.Result, find lookup) {
			find(quantities.CoreGain, "rod").Determined, find(quantities.CoreFrequencyDrop, "rod").Covered = false, [2]float64{0.2, 0.6}
		})), []string{"Core rod, all the way in; frequency with 20..60 % covered", "inductance|2.280 ± 0.040 mH with the core|", "capacitance|+ 0.200 ± 0.050 pF|", "frequency|− 700.0 ± 2.0 kHz|2.5000 to 1.8000 MHz", "amplitude|× 0.512 (1 pair of readings)|"}},
		{core(with(func(_ *model.Result, find lookup) {
			find(quantities.CoreGain, "rod").Determined, find(quantities.InductanceWithCore, "rod").Determined, find(quantities.CoreCapacitance, "rod").Determined, find(quantities.FrequencyRatio, "rod").Determined = false, false, false, false
		})), []string{"Core rod, all the way in", "inductance|" + open + "|", "capacitance|" + open + "|", "frequency|− 700.0 ± 2.0 kHz|", "amplitude|× 0.512 (1 pair of readings)|"}},
		{parts(with(nil)), []string{"Parts: spike 0.800 ± 0.020 pF", "Clip and leads: 0.30 ± 0.10 pF"}},
		{parts(with(func(_ *model.Result, find lookup) { find(quantities.LeadCapacitance, "").Value = 0.19e-12 })), []string{"Parts: spike 0.800 ± 0.020 pF"}},
		{parts(with(func(_ *model.Result, find lookup) { find(quantities.LeadCapacitance, "").Value = -0.21e-12 })), []string{"Parts: spike 0.800 ± 0.020 pF", "Clip and leads: −0.21 ± 0.10 pF"}},
		{parts(with(func(r *model.Result, find lookup) {
			list := r.Session.Log.Parts
			list[len(list)-1].Known, find(quantities.LeadCapacitance, "").Determined = true, false
		})), nil},
	} {
		if got, want := strings.Join(k.got, "\n"), strings.Join(k.want, "\n"); got != want {
			t.Errorf("%d:\n%s\nwant\n%s", i, got, want)
		}
	}
}

// A prior that is a fraction of something says of what, behind the name that text and JSON have for it; one of a part its name alone.
func TestPriorsSayOfWhat(t *testing.T) {
	of := log(0, 2.2, 4.7, 10)
	for i, covered := range []float64{0.5, 1, 1} {
		o := of.Readings[i]
		o.State.Core, o.State.To, o.Line, o.Frequency, o.Uncertainty = "rod", covered, 6+i, o.Frequency*(0.9-0.2*covered), 1e3
		of.Readings = append(of.Readings, o)
	}
	r := mustFit(t, estimation.Session{Log: of})
	tab, _ := MovedPriors(r)
	fractions, named := 0, 0
	for i, b := range r.MovedPriors() {
		row := tab.Rows[i]
		switch what, _, replacedBy := assumption(&b.Assumption); {
		case b.Kind == estimation.PartSource:
			named++
			if row[0] != b.Part || row[5] != "stated" {
				t.Errorf("%q of part %q", row, b.Part)
			}
		case b.Kind == estimation.AssumptionSource:
			if s := wording.MovedOf(&b); s != "" {
				fractions++
				what += s
			}
			if row[0] != what || row[5] != replacedBy || replacedBy == "" {
				t.Errorf("%q, want %q replaced by %q", row, what, replacedBy)
			}
		}
	}
	if fractions == 0 || named != 3 {
		t.Errorf("%d fractions, %d parts: %q", fractions, named, rows(tab))
	}
}
