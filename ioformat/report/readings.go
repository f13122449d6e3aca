package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/readings"
)

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
	means := anyRepeats(len(r.Readings), func(i int) *readings.Reading { return &r.Readings[i].Reading })
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
			residual = unsignedZero(fmt.Sprintf("%+.*f", decimals, o.Residual/1e3)) + " kHz"
		}
		if !math.IsNaN(o.Standardised) {
			standardised = unsignedZero(quantity.SignedDecimals(o.Standardised, 1))
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

// unsignedZero leaves the sign of a number out that was rounded to zero.
func unsignedZero(s string) string {
	if strings.Trim(s, "+-0.") == "" {
		return strings.TrimLeft(s, "+-")
	}
	return s
}

// residualDecimals returns how many decimals of a kilohertz show two digits of the
// least uncertainty [Hz].
func residualDecimals(least float64) int {
	if !(least > 0) || math.IsInf(least, 1) {
		return 2
	}
	return min(max(2, 1-int(math.Floor(math.Log10(least/1e3)))), 7)
}

// Without says what the coil would be without the suspect reading on a line; nothing
// when that wasn't worked out.
func Without(r *model.Result, line int) string {
	for _, o := range r.Readings {
		if o.Line != line || o.Without == nil {
			continue
		}
		w := o.Without
		if !w.Effective.Determined || !w.Capacitance.Determined {
			return "without this reading inductance and capacitance would not be determined"
		}
		return fmt.Sprintf("without this reading the effective inductance would be %s and the effective capacitance %s",
			quantity.Format(w.Effective.Value, w.Effective.Uncertainty, "H"),
			quantity.Format(w.Capacitance.Value, w.Capacitance.Uncertainty, "F"))
	}
	return ""
}

// jsonRepeats is what stands behind a mean.
type jsonRepeats struct {
	Count     int         `json:"count"`
	LastLine  int         `json:"last_line"`
	Deviation *float64    `json:"standard_deviation"`
	Slow      *float64    `json:"mean_uncertainty_factor"`
	Wanders   bool        `json:"drifts"`
	Lowest    jsonExtreme `json:"lowest"`
	Highest   jsonExtreme `json:"highest"`
}

type jsonExtreme struct {
	Line      int     `json:"line"`
	Frequency float64 `json:"frequency"`
}

// repeats returns nothing for a reading by itself.
func repeats(r *readings.Reading) *jsonRepeats {
	m := r.Repeats
	if m == nil {
		return nil
	}
	return &jsonRepeats{
		Count: m.Count, LastLine: m.Last, Deviation: number(m.Deviation), Slow: number(m.Slow), Wanders: m.Wanders,
		Lowest: jsonExtreme(m.Lowest), Highest: jsonExtreme(m.Highest),
	}
}

// howMany counts readings, and the means that stand for them.
func howMany(log readings.Log) string {
	if n := log.Count(); n != len(log.Readings) {
		return fmt.Sprintf("%s, as the means of %s", quantity.Count(n, "reading"), quantity.Count(len(log.Readings), "state"))
	}
	return quantity.Count(len(log.Readings), "reading")
}

// lines names the lines that a reading stands on.
func lines(r *readings.Reading) string {
	if r.Repeats == nil {
		return fmt.Sprint(r.Line)
	}
	return fmt.Sprintf("%d-%d", r.Line, r.Repeats.Last)
}

// anyRepeats tells whether any of n readings is a mean.
func anyRepeats(n int, at func(i int) *readings.Reading) bool {
	for i := range n {
		if at(i).Repeats != nil {
			return true
		}
	}
	return false
}

// repeatsColumns are shown where readings are means.
func repeatsColumns() []Column { return []Column{right("readings"), right("scatter")} }

func repeatsCells(r *readings.Reading) []string {
	if r.Repeats == nil {
		return []string{"1", ""}
	}
	return []string{fmt.Sprint(r.Repeats.Count), quantity.FormatValue(r.Repeats.Deviation, 2, "Hz").String()}
}
