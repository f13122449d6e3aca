package page

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// The numbers of a page are those of the fit: each estimate that is determined
// stands in a row with its value and standard uncertainty, to the two digits that
// these have; each that isn't stands there without a number.
func TestNumbersAreTheFits(t *testing.T) {
	r, _ := demo(t)
	root := parse(t, written(t, r))
	var rows [][]string
	for _, table := range root.all("table") {
		if !strings.Contains(table.attr["class"], "quantities") {
			continue
		}
		for _, tr := range table.all("tbody")[0].all("tr") {
			var cells []string
			for _, td := range tr.all("td") {
				cells = append(cells, td.words())
			}
			rows = append(rows, cells)
		}
	}
	estimates := slices.Concat(r.Parameters, r.Derived)
	if len(rows) != len(estimates) {
		t.Fatalf("%d rows for %d estimates", len(rows), len(estimates))
	}
	for _, e := range estimates {
		found := slices.ContainsFunc(rows, func(c []string) bool {
			if !e.Determined {
				return c[0] == quantity.Undetermined && c[1]+c[2]+c[3]+c[4]+c[5] == ""
			}
			k, err3 := strconv.ParseFloat(c[4], 64)
			degrees, err4 := strconv.ParseFloat(c[5], 64)
			if e.Degrees >= manyDegrees {
				degrees, err4 = e.Degrees, nil
			}
			if err3 != nil || err4 != nil || math.Abs(k-e.Coverage) > 0.00501 || e.Degrees < manyDegrees && math.Abs(degrees-e.Degrees) > 0.501 {
				return false
			}
			v, err1 := strconv.ParseFloat(c[0], 64)
			u, err2 := strconv.ParseFloat(c[1], 64)
			scale := inSI(c[2])
			_, places, _ := strings.Cut(c[0], ".")
			last := math.Pow(10, -float64(len(places)))
			return err1 == nil && err2 == nil && math.Abs(v-e.Value/scale) <= 0.501*last && math.Abs(u-e.Uncertainty/scale) <= 0.501*last && u >= 9.9*last
		})
		if !found {
			t.Errorf("no row for %s %s%s: %g ± %g %s", e.Name, e.Core, e.Part, e.Value, e.Uncertainty, e.Unit)
		}
	}
	lines := root.all("table")[len(root.all("table"))-1].all("tbody")[0].all("tr")
	if len(lines) != len(r.Readings) {
		t.Fatalf("%d lines for %d readings", len(lines), len(r.Readings))
	}
	for i, o := range r.Readings {
		cells := lines[i].all("th", "td")
		line, _ := strconv.Atoi(cells[0].words())
		read, _ := strconv.ParseFloat(cells[2].words(), 64)
		residual, _ := strconv.ParseFloat(strings.TrimSuffix(cells[4].words(), " kHz"), 64)
		if line != o.Line || !(math.Abs(read*1e6-o.Frequency) <= 1) || !(math.Abs(residual*1e3-o.Residual) <= 5.01) {
			t.Errorf("reading %+v is shown as %s", o.Reading, lines[i].words())
		}
	}
}

// inSI is a unit of the tables in SI.
func inSI(unit string) float64 {
	for prefix, scale := range map[string]float64{"f": 1e-15, "p": 1e-12, "n": 1e-9, "µ": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6} {
		if base, ok := strings.CutPrefix(unit, prefix); ok && base != "" {
			if base == "s²" {
				return scale * scale
			}
			return scale
		}
	}
	return 1
}

// The table of priors has what was stated of a part, and what the fit makes of it: its
// estimate, and the difference in the standard uncertainty stated.
func TestPriorsTable(t *testing.T) {
	r, _ := demo(t)
	for _, table := range parse(t, written(t, r)).all("table") {
		if !strings.Contains(table.attr["class"], "priors") {
			continue
		}
		for _, part := range r.Parts() {
			if !part.Known {
				continue
			}
			e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: part.Name})
			believed, now, moved := number(t, cell(t, table, part.Name, 0)), number(t, cell(t, table, part.Name, 1)), number(t, cell(t, table, part.Name, 2))
			if math.Abs(believed-1e12*part.Capacitance) > 1e-9 || math.Abs(now-1e12*e.Value) > 0.05e12*e.Uncertainty+0.5e-3 || math.Abs(moved-(e.Value-part.Capacitance)/part.Uncertainty) > 0.0501 {
				t.Errorf("%s: believed %g, now %g, moved %g; stated %g ± %g, estimate %g", part.Name, believed, now, moved, part.Capacitance, part.Uncertainty, e.Value)
			}
		}
		return
	}
	t.Error("no table of priors")
}
