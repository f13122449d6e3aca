package figure

import (
	"fmt"
	"sort"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/patterns"
)

// Quantiles compares the standardised residuals with what a normal distribution would
// give: a long tail or an outlier leaves the band.
func Quantiles(r *model.Result) Figure {
	v := look(r)
	shown, _ := split(v.readings, func(r *reading) bool { return r.Use && standardised(r) })
	sort.SliceStable(shown, func(i, j int) bool { return shown[i].Standardised < shown[j].Standardised })
	f := Figure{Name: "residuals-normal-quantiles", Title: "Are the residuals normally distributed?"}
	n := len(shown)
	if !patterns.EnoughForNormalPlot(n) {
		f.Alt = fmt.Sprintf("Too few readings to judge their distribution: %s with a residual.", quantity.Count(n, "reading"))
		f.Panels = []chart.Panel{{Empty: f.Alt + " A normal Q–Q plot needs eight or more."}}
		return f
	}
	p := chart.Panel{Height: 240}
	var x, y span
	outside := 0
	for i, r := range shown {
		if n > manyQuantiles && i%(n/manyQuantiles) != 0 && i != n-1 {
			continue
		}
		q := patterns.NormalOrder(i+1, n)
		p.Points = append(p.Points, r.point(q.Expected, r.Standardised))
		b := chart.BandPoint{X: q.Expected, Low: q.Low, High: q.High}
		if len(p.Bands) == 0 {
			p.Bands = []chart.Band{{Style: chart.Ink}}
		}
		p.Bands[0].Points = append(p.Bands[0].Points, b)
		x.add(q.Expected)
		y.add(q.Low, q.High, r.Standardised)
		if r.Standardised < q.Low || r.Standardised > q.High {
			outside++
		}
	}
	p.X = chart.Over("theoretical normal quantile", x.low, x.high, 8)
	p.Y = chart.Over("standardised residual", y.low, y.high, 8)
	p.Lines = []chart.Line{{Points: []chart.XY{{X: x.low, Y: x.low}, {X: x.high, Y: x.high}}, Style: chart.Faint, Thin: true}}
	f.Panels = []chart.Panel{p}
	f.Keys = append(v.keys(shown), chart.Key{Text: "95 % band", Style: chart.Ink, Band: true})
	f.Notes = []string{"Normal Q–Q plot. A normally distributed residual lies in the band with 95 % probability: one in twenty outside is expected. Residuals of one fit are not quite independent, so the band is approximate."}
	f.Notes = append(f.Notes, v.remarks()...)
	f.Alt = fmt.Sprintf("Normal quantile–quantile plot of %s: of the %d shown, %d lie outside the 95 %% band.", quantity.Count(n, "standardised residual"), len(p.Points), outside)
	return f
}

// manyQuantiles is the number of points from which a quantile plot is thinned.
const manyQuantiles = 1000
