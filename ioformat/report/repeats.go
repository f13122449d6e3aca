package report

import (
	"fmt"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

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
