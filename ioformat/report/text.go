package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// FitText writes r for people to read.
func FitText(w io.Writer, r *model.Result, src Source) error {
	var b strings.Builder
	used := r.Quality.Readings
	fmt.Fprintf(&b, "%s: %s, %d used; resonator: %s\n", src.Log, count(len(r.Readings), "reading"), used, resonatorName(r))
	section(&b, "What the coil is", "± is one standard uncertainty")
	b.WriteString(estimateTable(append(append([]model.Estimate(nil), r.Parameters...), r.Derived...)))
	section(&b, "How well the model describes the readings", "")
	b.WriteString(qualityText(r))
	section(&b, "Readings", "")
	b.WriteString(readingTable(r))
	if len(r.Undetermined) > 0 {
		section(&b, "What the readings can't tell", "")
		for _, u := range r.Undetermined {
			what, remedy := Sentences(u)
			bullet(&b, what)
			fmt.Fprintf(&b, "    remedy: %s\n", remedy)
		}
	}
	if len(r.Findings) > 0 {
		section(&b, "Worth knowing", "")
		for _, f := range r.Findings {
			bullet(&b, Sentence(f))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func section(b *strings.Builder, title, note string) {
	b.WriteString("\n" + title)
	if note != "" {
		b.WriteString(" (" + note + ")")
	}
	b.WriteString("\n")
}

func bullet(b *strings.Builder, s string) { b.WriteString("  - " + s + "\n") }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func resonatorName(r *model.Result) string {
	if r.Resonator == "lumped" {
		return "lumped circuit (forced)"
	}
	return "uniform line with top load"
}

// estimateTable lists estimates with their uncertainty, 95 % interval, and what
// they rest on.
func estimateTable(list []model.Estimate) string {
	t := newTable("  ", left, right, left, left, left, left)
	t.row("", "value", "±", "", "95 % interval", "rests on")
	for i := range list {
		e := &list[i]
		name := label(e)
		if !e.Determined {
			t.row(name, quantity.Undetermined, "", "", "", "")
			continue
		}
		t.row(append([]string{name}, cells(e)...)...)
	}
	return t.String()
}

// cells returns value, uncertainty, unit, interval and source of a determined
// estimate.
func cells(e *model.Estimate) []string {
	base := baseUnit(e.Unit)
	width := e.Uncertainty
	if math.IsNaN(width) { // at a bound: the interval says it all
		width = (e.Interval[1] - e.Interval[0]) / 4
	}
	u := quantity.UnitFor(e.Value, width, base)
	v := u.Format(e.Value, width)
	i := u.FormatInterval(e.Interval[0], e.Interval[1])
	span := i.Low + " to " + i.High
	if e.Bound != fit.Free {
		return []string{"at its limit", "", v.Unit, span, restsOn(e)}
	}
	return []string{v.Value, v.Uncertainty, v.Unit, span, restsOn(e)}
}

// restsOn names the largest sources of an estimate's variance.
func restsOn(e *model.Estimate) string {
	var parts []string
	add := func(share float64, what string) {
		if share >= 0.005 {
			parts = append(parts, fmt.Sprintf("%s %.0f %%", what, 100*share))
		}
	}
	add(e.Budget.Readings, "readings")
	add(e.Budget.Tolerance, "parts' tolerance")
	add(e.Budget.Known, "known values")
	add(e.Budget.Assumed, "assumption")
	return strings.Join(parts, ", ")
}

// baseUnit maps the model's units to those that take a prefix.
func baseUnit(unit string) string {
	if unit == "1" {
		return ""
	}
	return unit
}

// label is the name of an estimate for people.
func label(e *model.Estimate) string {
	name := strings.ReplaceAll(e.Name, "_", " ")
	switch e.Name {
	case model.LCProduct:
		name = "L × C (effective)"
	case model.EffectiveInductance:
		name = "effective inductance, bare"
	case model.EffectiveCapacitance:
		name = "effective capacitance, bare"
	case model.Inductance:
		name = "inductance, in air"
	}
	switch {
	case e.Core != "":
		name += ", " + e.Core
	case e.Part != "":
		name = "part " + e.Part
	case e.Hand > 0:
		name += " at " + quantity.FormatValue(e.Hand, 3, "m").String()
	}
	return name
}

func qualityText(r *model.Result) string {
	q := r.Quality
	var b strings.Builder
	fmt.Fprintf(&b, "  %s; chi-square %.3g with %s", q.Status, q.ChiSquare, count(q.DegreesOfFreedom, "degree"))
	b.WriteString(" of freedom")
	if !math.IsNaN(q.PValue) {
		fmt.Fprintf(&b, " (p = %.2g)", q.PValue)
	}
	b.WriteString("\n")
	if q.Scale > 1 {
		fmt.Fprintf(&b, "  scatter asks for the readings' uncertainties × %.3g (Birge ratio): done above; with the stated ones", q.Scale)
		if e := r.Find(model.Inductance, "", "", 0); e != nil && e.Determined {
			fmt.Fprintf(&b, " L would be ± %s", quantity.FormatValue(e.Stated, 2, "H"))
		}
		b.WriteString("\n")
	} else if q.DegreesOfFreedom > 0 {
		b.WriteString("  the readings scatter no more than stated: no scaling of uncertainties\n")
	}
	return b.String()
}

// readingTable lists every reading beside the fit.
func readingTable(r *model.Result) string {
	t := newTable("  ", right, left, right, right, right, right, left)
	t.row("line", "state", "read", "fitted", "residual", "standardised", "")
	for i := range r.Readings {
		o := &r.Readings[i]
		u := quantity.UnitFor(o.Frequency, o.Uncertainty, "Hz")
		read, fitted := u.Format(o.Frequency, o.Uncertainty), "-"
		residual, standardised := "-", "-"
		if !math.IsNaN(o.Fitted) {
			fitted = u.Format(o.Fitted, o.Uncertainty).Value
			residual = residualText(o.Residual)
		}
		if !math.IsNaN(o.Standardised) {
			standardised = fmt.Sprintf("%+.1f", o.Standardised)
		}
		t.row(fmt.Sprint(o.Line), StateText(o.State, r.Parts()), read.Value+" "+read.Unit, fitted, residual, standardised, flag(o))
	}
	return t.String()
}

func residualText(hz float64) string {
	return fmt.Sprintf("%+.2f kHz", hz/1e3)
}

// StateText describes a state in a few words.
func StateText(s model.State, parts []model.Part) string {
	var words []string
	for _, p := range s.Parts {
		words = append(words, parts[p].Name)
	}
	out := []string{}
	if len(words) > 0 {
		out = append(out, strings.Join(words, " + "))
	}
	if s.Exact > 0 {
		out = append(out, quantity.FormatValue(s.Exact, 3, "F").String())
	}
	if s.Core != "" {
		cover := ""
		switch {
		case s.From > 0:
			cover = fmt.Sprintf(" %.3g..%.3g %%", 100*s.From, 100*s.To)
		case s.To < 1:
			cover = fmt.Sprintf(" %.3g %%", 100*s.To)
		}
		out = append(out, "core "+s.Core+cover)
	}
	if !math.IsInf(s.Hand, 1) {
		out = append(out, "hand at "+quantity.FormatValue(s.Hand, 3, "m").String())
	}
	if len(out) == 0 {
		return "bare"
	}
	return strings.Join(out, ", ")
}
