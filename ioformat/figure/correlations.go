package figure

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// Correlations shows the correlation coefficients of what a reader wants to know first, with
// their covariances in its table.
func Correlations(r *model.Result) Figure {
	f := Figure{Name: "correlations", Title: "Which quantities share their uncertainty?"}
	all := r.Principal(mostTabled)
	list := all[:min(len(all), mostCorrelated)]
	n := len(list)
	if n < 2 {
		return empty(f, "Fewer than two quantities have a standard uncertainty, so there is no correlation.")
	}
	v := look(r)
	rho := r.Correlations(list)
	p := chart.Panel{Height: correlationHeight * float64(n), Bare: true}
	var names []string
	for i, e := range list {
		names = append([]string{fmt.Sprintf("%s  %d", symbol(v.shortCore(e)), i+1)}, names...)
		p.X.Ticks = append(p.X.Ticks, chart.Tick{At: float64(i), Label: strconv.Itoa(i + 1)})
		for j := range n {
			c := rho[i*n+j]
			x, y := float64(j), float64(n-1-i)
			p.Areas = append(p.Areas, chart.Area{Style: signStyle(c), Tint: math.Max(1e-3, cellTint*math.Abs(c)), Outline: box(x-cellHalf, x+cellHalf, y-cellHalf, y+cellHalf)})
			p.Texts = append(p.Texts, chart.Text{XY: chart.XY{X: x, Y: y}, Text: cellText(c)})
		}
	}
	p.X.Min, p.X.Max = -0.5, float64(n)-0.5
	p.Y = chart.Named(names)
	f.Panels = []chart.Panel{p}
	f.Keys = []chart.Key{{Text: "rise together", Style: signStyle(1), Area: true}, {Text: "one rises as the other falls", Style: signStyle(-1), Area: true}}
	f.Notes = []string{"Correlation coefficients, which hold as far as the fit is linear. Near ±1, what is computed from both needs their covariance."}
	f.Notes = append(append(f.Notes, v.symbols(list)...), v.remarks()...)
	f.Table = covarianceTable(all, r.Correlations(all))
	f.Alt = "Correlation coefficients of " + quantity.Count(n, "estimate") + ": " + strongest(list, rho) + "."
	return f
}

const (
	mostCorrelated    = 6
	mostTabled        = 12
	correlationHeight = 19.0
	cellTint          = 0.5
	cellHalf          = 0.48 // of its width
)

// cellText is a coefficient with at most four decimals, cut rather than rounded: none but 1 is
// written as 1.
func cellText(c float64) string {
	const digits, last = 4, 1e4
	if math.Abs(c) == 1 || math.Abs(c) < 1-10/last {
		return wording.Correlation(c)
	}
	return strings.Replace(quantity.Decimals(math.Trunc(last*c)/last, digits), "-", "−", 1)
}

// covarianceTable has covariances on and below its diagonal, in the units of both quantities,
// and correlation coefficients above.
func covarianceTable(list []*quantities.Estimate, rho []float64) (t chart.Table) {
	t.Columns = []string{"covariance below, correlation above"}
	var units []quantity.Unit
	for _, e := range list {
		u := quantity.UnitFor(e.Value, e.Uncertainty, quantity.BaseUnit(e.Unit))
		units, t.Columns = append(units, u), append(t.Columns, axisLabel(wording.QuantityOf(e), u))
	}
	for i, e := range list {
		row := []string{t.Columns[i+1]}
		for j, o := range list {
			c := rho[i*len(list)+j]
			if j > i {
				row = append(row, wording.Correlation(c))
				continue
			}
			row = append(row, quantity.Digits(c*units[i].FromSI(e.Uncertainty)*units[j].FromSI(o.Uncertainty), 4))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// signStyle is the colour of a coefficient's sign.
func signStyle(c float64) chart.Style {
	if c < 0 {
		return 2
	}
	return 1
}

// strongest words the coefficients beyond ±0.5.
func strongest(list []*quantities.Estimate, rho []float64) string {
	var words []string
	for i := range list {
		for j := range i {
			if c := rho[i*len(list)+j]; math.Abs(c) >= 0.5 {
				words = append(words, fmt.Sprintf("%s and %s %s", wording.QuantityOf(list[j]), wording.QuantityOf(list[i]), wording.Correlation(c)))
			}
		}
	}
	if len(words) == 0 {
		return "none beyond ±0.5"
	}
	return strings.Join(words, "; ")
}
