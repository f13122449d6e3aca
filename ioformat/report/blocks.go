package report

import (
	"fmt"
	"math"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// coil writes the coil without anything: the pair of L and C that gives its frequency.
func (t *text) coil(r *model.Result) {
	find := func(name string) *quantities.Estimate { return r.Find(quantities.Key{Name: name}) }
	t.blank()
	t.block("Coil, bare, seen from the top")
	t.row("frequency", known(find(quantities.BareFrequency)))
	l, c, air := find(quantities.EffectiveInductance), find(quantities.EffectiveCapacitance), find(quantities.Inductance)
	if product := find(quantities.LCProduct); !l.Determined && product.Determined {
		t.row("L × C", known(product))
	}
	text := known(l)
	if l.Determined && air.Determined && l.Bound == fit.Free && air.Bound == fit.Free {
		u := quantity.UnitFor(air.Value, air.Uncertainty, "H")
		text = remark(u.Format(l.Value, l.Uncertainty).String(), "at low frequency "+u.Format(air.Value, air.Uncertainty).String())
	}
	t.row("inductance", text)
	t.row("capacitance", known(c))
	if z := find(quantities.Impedance); z.Determined {
		t.row("impedance", known(z))
	}
	if e := find(quantities.StrayCapacitance); e != nil && e.Determined {
		t.row("stray", remark(known(e), "at the top beyond the drawing"))
	}
}

// remark sets a remark beside a value.
func remark(value, s string) string {
	return nobreak(fmt.Sprintf("%-24s ", value)) + " " + nobreak(s)
}

// signed writes an estimate as what it adds to another: its sign apart.
func signed(e *quantities.Estimate, direction float64) string {
	if !e.Determined || e.Bound != fit.Free {
		return known(e)
	}
	v := direction * e.Value
	sign := "+ "
	if v < 0 {
		sign = "− "
	}
	abs := *e
	abs.Value = math.Abs(v)
	return sign + known(&abs)
}

// cores writes what each core does, all the way in.
func (t *text) cores(r *model.Result, terse int) {
	names := r.Cores()
	if len(names) == 1 {
		t.core(r, names[0])
		return
	}
	tab := newTable(left(""), left("inductance"), left("capacitance"), left("frequency"))
	most := 8 - terse
	for i, core := range names {
		if i == most {
			tab.row(fmt.Sprintf("and %d more: --full", len(names)-most), "", "", "")
			break
		}
		gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: core})
		times := "not determined"
		if gain.Determined {
			times = "× " + known(gain)
		}
		cells := []string{core, times}
		for _, q := range []struct {
			name      string
			direction float64
		}{{quantities.CoreCapacitance, 1}, {quantities.CoreFrequencyDrop, -1}} {
			e := r.Find(quantities.Key{Name: q.name, Core: core})
			if e == nil || !e.Determined {
				cells = append(cells, "not determined")
				continue
			}
			cells = append(cells, signed(e, q.direction))
			if s := CoveredIn(e); s != "" {
				cells[len(cells)-1] += ", " + s + " covered"
			}
		}
		tab.row(cells...)
	}
	if len(names) > 0 {
		t.block("Cores, all the way in")
		t.answer.table(tab)
		t.table(tab)
	}
}

// CoveredIn writes the part of the winding that a core covers in e, which was never read with all of it in; "" for others.
func CoveredIn(e *quantities.Estimate) string {
	switch {
	case e == nil || e.Covered[1] == 0:
		return ""
	case e.Covered[0] == 0:
		return quantity.Decimals(100*e.Covered[1], 0) + " %"
	}
	return quantity.Decimals(100*e.Covered[0], 0) + ".." + quantity.Decimals(100*e.Covered[1], 0) + " %"
}

// core writes what the only core does.
func (t *text) core(r *model.Result, core string) {
	title := "Core " + core + ", all the way in"
	if s := CoveredIn(r.Find(quantities.Key{Name: quantities.CoreFrequencyDrop, Core: core})); s != "" {
		title += "; frequency with " + s + " covered"
	}
	t.block(title)
	find := func(name string) *quantities.Estimate { return r.Find(quantities.Key{Name: name, Core: core}) }
	switch gain, with := find(quantities.CoreGain), find(quantities.InductanceWithCore); {
	case gain.Determined:
		t.row("inductance", "× "+known(gain))
	case with.Determined:
		t.row("inductance", known(with)+" with the core")
	default:
		t.row("inductance", known(gain))
	}
	t.row("capacitance", signed(find(quantities.CoreCapacitance), 1))
	drop, ratio, bare := find(quantities.CoreFrequencyDrop), find(quantities.FrequencyRatio), r.Find(quantities.Key{Name: quantities.BareFrequency})
	text := signed(drop, -1)
	if drop.Determined && ratio.Determined && bare.Determined {
		u := quantity.UnitFor(bare.Value, bare.Value/1e4, "Hz")
		text = remark(text, fmt.Sprintf("%s to %s %s", u.Format(bare.Value, bare.Value*1e-3).Value, u.Format(bare.Value*ratio.Value, bare.Value*1e-3).Value, u.Symbol))
	}
	t.row("frequency", text)
	for _, c := range r.Contrasts {
		label := "amplitude"
		if c.Quality {
			label = "Q factor"
		}
		if c.Core == core {
			t.row(label, "× "+contrast(c))
		}
	}
}

// contrast writes the ratio of an amplitude or a quality factor with a core over that
// without.
func contrast(c readings.Contrast) string {
	ratio := quantity.FormatValue(c.Ratio, 3, "").String()
	if c.Pairs > 1 {
		ratio = quantity.Format(c.Ratio, c.Uncertainty, "").String()
	}
	return fmt.Sprintf("%s (%s of readings)", ratio, quantity.Count(c.Pairs, "pair"))
}

// hand writes how far a hand lowers the frequency, at some of the distances read.
func (t *text) hand(r *model.Result, terse int) {
	var list []string
	read := false
	for _, e := range r.Derived {
		if e.Name != quantities.HandFrequencyDrop {
			continue
		}
		read = true
		if e.Determined {
			list = append(list, nobreak(fmt.Sprintf("at %s %s", wording.Distance(e.Hand), signed(&e, -1))))
		}
	}
	if read {
		t.some("Hand near", list, 5-terse)
	}
}

// parts writes what the fit found of parts without a value, and of clips and leads.
func (t *text) parts(r *model.Result, terse int) {
	var list []string
	for _, p := range r.Parts() {
		if e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: p.Name}); e != nil && !p.Known {
			list = append(list, p.Name+" "+nobreak(known(e)))
		}
	}
	if len(list) > 0 {
		t.some("Parts", list, 6-terse)
	}
	if e := r.Find(quantities.Key{Name: quantities.LeadCapacitance}); e != nil && e.Determined && math.Abs(e.Value) > 2*e.Uncertainty {
		t.point("Clip and leads", known(e))
	}
}
