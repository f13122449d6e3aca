package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// FitText writes r for people to read.
func FitText(w io.Writer, r *model.Result, src Source) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, %d used; resonator: %s\n", src.Log, howMany(r.Log()), r.Quality.Readings, resonatorName(r))
	b.WriteString(src.howRead())
	undermined(&b, r)
	for i, g := range Groups(r) {
		note := ""
		if i == 0 {
			note = "± is one standard uncertainty"
		}
		section(&b, g.Title, note)
		b.WriteString(g.Table().text())
		for _, s := range g.Words {
			b.WriteString("  " + s + "\n")
		}
	}
	if len(r.Checks) > 0 {
		section(&b, "Drawing against readings", "a difference within two sigmas is none")
		b.WriteString(Checks(r.Checks).text())
	}
	section(&b, "How well the model describes the readings", "")
	for _, s := range Quality(r) {
		b.WriteString("  " + s + "\n")
	}
	section(&b, "Readings", "")
	b.WriteString(Readings(r).text())
	if _, left := Listed(r); left > 0 {
		fmt.Fprintf(&b, "  and %d more (--json has all)\n", left)
	}
	if len(r.Undetermined) > 0 {
		section(&b, "What the readings can't tell", "")
		for _, u := range r.Undetermined {
			what, remedy := Sentences(u)
			bullet(&b, what)
			fmt.Fprintf(&b, "    remedy: %s\n", remedy)
		}
	}
	if len(r.Assumed) > 0 {
		section(&b, "Assumed by default", "neither the log nor a known value says it")
		b.WriteString(Assumed(r).text())
	}
	if rest := slices.DeleteFunc(slices.Clone(r.Findings), model.Finding.Undermines); len(rest) > 0 {
		section(&b, "Notes", "")
		for _, f := range rest {
			bullet(&b, Sentence(f))
			if w := Without(r, f.Line); w != "" {
				b.WriteString("    " + w + "\n")
			}
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// undermined tells, before any number, what makes all of them doubtful.
func undermined(b *strings.Builder, r *model.Result) {
	head := false
	for _, f := range r.Findings {
		if !f.Undermines() {
			continue
		}
		if !head {
			section(b, "Contradiction: no number below is to be trusted until it is resolved", "")
			head = true
		}
		bullet(b, Sentence(f))
	}
}

// Without tells what the coil would be without the suspect reading on a line;
// nothing when that wasn't worked out.
func Without(r *model.Result, line int) string {
	for i := range r.Readings {
		o := &r.Readings[i]
		if o.Line != line || o.Without == nil {
			continue
		}
		w := o.Without
		if !w.Effective.Determined || !w.Capacitance.Determined {
			return "without this reading inductance and capacitance would be undetermined"
		}
		return fmt.Sprintf("without this reading the effective inductance would be %s and the effective capacitance %s",
			quantity.Format(w.Effective.Value, w.Effective.Uncertainty, "H"),
			quantity.Format(w.Capacitance.Value, w.Capacitance.Uncertainty, "F"))
	}
	return ""
}

// howRead tells what was assumed or left out when the inputs were read; nothing
// when all was plain.
func (s Source) howRead() string {
	var b strings.Builder
	if len(s.Warnings) > 0 {
		section(&b, "How the input was read", "")
	}
	for _, w := range s.Warnings {
		bullet(&b, w)
	}
	return b.String()
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
	if r.Resonator == "ladder" {
		return "winding in coupled slices"
	}
	return "uniform line with top load"
}

// Quality says how well the model describes the readings, a clause each.
func Quality(r *model.Result) []string {
	q := r.Quality
	fits := fmt.Sprintf("%s with %s of freedom", chiSquare(q.ChiSquare), count(q.DegreesOfFreedom, "degree"))
	if q.DegreesOfFreedom == 0 {
		fits = "no degree of freedom is left: χ² tells nothing"
	}
	if !math.IsNaN(q.PValue) {
		fits += ", " + pText(q.PValue)
	}
	list := []string{q.Status.String(), fits}
	switch {
	case q.Scale >= 1.005:
		list = append(list, fmt.Sprintf("uncertainties of the readings multiplied by the Birge ratio %s", scaleText(q.Scale)))
		if e := r.Find(model.EffectiveInductance, "", "", 0); e.Determined {
			list = append(list, fmt.Sprintf("with the stated ones the effective inductance would be known to ± %s", quantity.FormatValue(e.Stated, 2, "H")))
		}
	case q.DegreesOfFreedom > 0 && q.PValue >= leastAgreement:
		list = append(list, "the readings scatter no more than stated: no scaling of uncertainties")
	case q.DegreesOfFreedom > 0:
		list = append(list, "the readings agree with one another, but not with what is known beforehand: no scaling of uncertainties")
	}
	if a := r.Alternative; a != nil && q.DegreesOfFreedom > 0 {
		other := fmt.Sprintf("for comparison, the %s: %s", alternativeName(a), chiSquare(a.Quality.ChiSquare))
		if !math.IsNaN(a.Quality.PValue) {
			other += ", " + pText(a.Quality.PValue)
		}
		if d := a.Quality.AICc - q.AICc; !math.IsNaN(d) && !math.IsInf(d, 0) {
			other += fmt.Sprintf("; ΔAICc (%s − %s) = %+.3g, %s", a.Resonator, r.Resonator, d, preference(d))
		}
		list = append(list, other)
	}
	return list
}

// leastAgreement is the p-value below which readings, tolerances and known values are
// not called consistent.
const leastAgreement = 0.05

// preference says what the sign of a ΔAICc means. Differences below two tell little, as
// is common practice (K. P. Burnham, D. R. Anderson, Model Selection and Multimodel
// Inference, 2nd ed. 2002, § 2.6).
func preference(d float64) string {
	switch {
	case d >= 2:
		return "which speaks for the model used"
	case d <= -2:
		return "which speaks against the model used"
	}
	return "which tells little"
}

// chiSquare writes a sum of squares, which says nothing below some hundredths.
func chiSquare(v float64) string {
	switch {
	case v < 0.01:
		return "χ² < 0.01"
	case v >= 1e3 && v < 1e6:
		return fmt.Sprintf("χ² = %.0f", v)
	}
	return fmt.Sprintf("χ² = %.3g", v)
}

// scaleText writes a factor to three digits.
func scaleText(v float64) string {
	if v < 100 {
		return fmt.Sprintf("%.3g", v)
	}
	return fmt.Sprintf("%.0f", v)
}

func alternativeName(a *model.Alternative) string {
	if a.Resonator == "lumped" {
		return "lumped circuit"
	}
	return "line"
}

// pText writes a probability as such.
func pText(p float64) string {
	switch {
	case p < 1e-4:
		return "p < 0.0001"
	case p > 0.9999:
		return "p > 0.9999"
	case p > 0.9:
		return fmt.Sprintf("p = %.4g", p)
	}
	return fmt.Sprintf("p = %.2g", p)
}

// MostLines is the number of readings, or rows of a figure, that a person is shown.
const MostLines = 1000

// Listed returns the indexes of the readings that are shown, the first ones and all
// that are suspect, and how many are left out.
func Listed(r *model.Result) (list []int, left int) {
	for i := range r.Readings {
		if i < MostLines || r.Readings[i].Flagged {
			list = append(list, i)
		}
	}
	return list, len(r.Readings) - len(list)
}

// Readings lists the readings beside the fit, a row each (see Listed).
func Readings(r *model.Result) *Table {
	highest, least := 0.0, math.Inf(1)
	for i := range r.Readings {
		highest = math.Max(highest, r.Readings[i].Frequency)
		least = math.Min(least, r.Readings[i].Weighed)
	}
	u := quantity.UnitFor(highest, highest/1000, "Hz")
	decimals := residualDecimals(least)
	columns := []Column{right("line"), left("state"), right("read " + u.Symbol), right("fitted"), right("residual"), right("standardised"), left("")}
	means := anyRepeats(len(r.Readings), func(i int) *model.Reading { return &r.Readings[i].Reading })
	if means {
		columns = slices.Insert(columns, 2, repeatsColumns()...)
	}
	t := newTable(columns...)
	list, _ := Listed(r)
	for _, i := range list {
		o := &r.Readings[i]
		fitted, residual, standardised := "-", "-", "-"
		if !math.IsNaN(o.Fitted) {
			fitted = u.Format(o.Fitted, o.Uncertainty).Value
			residual = fmt.Sprintf("%+.*f kHz", decimals, o.Residual/1e3)
		}
		if !math.IsNaN(o.Standardised) {
			standardised = fmt.Sprintf("%+.1f", o.Standardised)
		}
		cells := []string{lines(&o.Reading), wording.State(o.State, r.Parts()), u.Format(o.Frequency, o.Uncertainty).Value,
			fitted, residual, standardised, flag(o)}
		if means {
			cells = slices.Insert(cells, 2, repeatsCells(&o.Reading)...)
		}
		t.row(cells...)
	}
	return t
}

// residualDecimals returns how many decimals of a kilohertz show two digits of the
// least uncertainty [Hz].
func residualDecimals(least float64) int {
	if !(least > 0) || math.IsInf(least, 1) {
		return 2
	}
	return min(max(2, 1-int(math.Floor(math.Log10(least/1e3)))), 7)
}
