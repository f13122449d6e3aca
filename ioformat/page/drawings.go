package page

import (
	"html/template"

	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/report"
	"fitcoil/model"
)

// undrawn is a figure that has nothing to show, and why.
type undrawn struct{ Title, Why string }

// drawing is a figure as the page shows it.
type drawing struct {
	figure.Figure
	SVG   template.HTML
	Shown [][]string // rows of its table
	Left  int        // rows that are too many
	Wide  bool       // it has the width of two
}

// drawingWidth [points] lets two figures stand side by side on a desk, and one
// be read on a phone.
const drawingWidth = 300

func drawings(r *model.Result) (list []drawing, without []undrawn, err error) {
	for _, f := range figure.Set(r) {
		if len(f.Panels) == 1 && f.Panels[0].Empty != "" {
			without = append(without, undrawn{f.Title, f.Panels[0].Empty})
			continue
		}
		d, err := newDrawing(f)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, d)
	}
	return list, without, nil
}

// newDrawing draws one.
func newDrawing(f figure.Figure) (d drawing, err error) {
	d.Wide = f.Width > 0
	if !d.Wide {
		f.Width = drawingWidth
	}
	svg, err := f.Render("svg", chart.Auto)
	d.Figure, d.SVG, d.Shown = f, template.HTML(svg), f.Table.Rows
	if left := len(d.Shown) - report.MostLines; left > 0 {
		d.Shown, d.Left = d.Shown[:report.MostLines], left
	}
	return d, err
}
