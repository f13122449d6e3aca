package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// FitText writes r for people to read.
func FitText(w io.Writer, r *model.Result, src Source) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, %d used; resonator: %s\n", src.Log, count(len(r.Readings), "reading"),
		r.Quality.Readings, resonatorName(r))
	for i, g := range groups(r) {
		note := ""
		if i == 0 {
			note = "± is one standard uncertainty"
		}
		section(&b, g.title, note)
		b.WriteString(estimateTable(g.list))
		for _, s := range g.words {
			b.WriteString("  " + s + "\n")
		}
	}
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
			if f.Kind == model.ReadingSuspect {
				b.WriteString(withoutText(r, f.Line))
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// withoutText tells what the coil would be without the reading on a line.
func withoutText(r *model.Result, line int) string {
	for i := range r.Readings {
		o := &r.Readings[i]
		if o.Line != line || o.Without == nil {
			continue
		}
		w := o.Without
		if !w.Inductance.Determined || !w.Capacitance.Determined {
			return "    without this reading inductance and capacitance would be undetermined\n"
		}
		return fmt.Sprintf("    without this reading the inductance would be %s and the effective capacitance %s\n",
			quantity.Format(w.Inductance.Value, w.Inductance.Uncertainty, "H"),
			quantity.Format(w.Capacitance.Value, w.Capacitance.Uncertainty, "F"))
	}
	return ""
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

func qualityText(r *model.Result) string {
	q := r.Quality
	var b strings.Builder
	fmt.Fprintf(&b, "  %s\n", q.Status)
	fmt.Fprintf(&b, "  chi-square %.3g with %s of freedom", q.ChiSquare, count(q.DegreesOfFreedom, "degree"))
	if !math.IsNaN(q.PValue) {
		fmt.Fprintf(&b, ", p = %.2g", q.PValue)
	}
	b.WriteString("\n")
	switch {
	case q.Scale > 1:
		fmt.Fprintf(&b, "  scatter asks for the readings' uncertainties × %.3g (Birge ratio): done above", q.Scale)
		if e := r.Find(model.Inductance, "", "", 0); e != nil && e.Determined {
			fmt.Fprintf(&b, "; with the\n  stated ones the inductance would be known to ± %s", quantity.FormatValue(e.Stated, 2, "H"))
		}
		b.WriteString("\n")
	case q.DegreesOfFreedom > 0:
		b.WriteString("  the readings scatter no more than stated: no scaling of uncertainties\n")
	}
	return b.String()
}

// readingTable lists every reading beside the fit.
func readingTable(r *model.Result) string {
	t := newTable("  ", right, left, right, right, right, right, left)
	highest := 0.0
	for _, o := range r.Readings {
		highest = math.Max(highest, o.Frequency)
	}
	u := quantity.UnitFor(highest, highest/1000, "Hz")
	t.row("line", "state", "read "+u.Symbol, "fitted", "residual", "standardised", "")
	for i := range r.Readings {
		o := &r.Readings[i]
		fitted, residual, standardised := "-", "-", "-"
		if !math.IsNaN(o.Fitted) {
			fitted = u.Format(o.Fitted, o.Uncertainty).Value
			residual = fmt.Sprintf("%+.2f kHz", o.Residual/1e3)
		}
		if !math.IsNaN(o.Standardised) {
			standardised = fmt.Sprintf("%+.1f", o.Standardised)
		}
		t.row(fmt.Sprint(o.Line), StateText(o.State, r.Parts()), u.Format(o.Frequency, o.Uncertainty).Value,
			fitted, residual, standardised, flag(o))
	}
	return t.String()
}
