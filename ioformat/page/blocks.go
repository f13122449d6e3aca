package page

import (
	"fmt"
	"html/template"

	"fitcoil/ioformat/figure"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

// block is a part of the page that only some logs and sheets have.
type block struct {
	ID, Title string
	Words     []string
	Section   *section // its quantities
	Tables    []titled
	List      []string
	Figures   []drawing
}

// titled is a table with its caption and class.
type titled struct {
	Caption, Class string
	*report.Table
}

// add draws a figure, if there is one.
func (b *block) add(f *figure.Figure) error {
	if f == nil {
		return nil
	}
	d, err := newDrawing(*f)
	b.Figures = append(b.Figures, d)
	return err
}

// blocks lists those of r, whose quantities are in own; volts stand at the top when the coil
// works, 0 where nobody says.
func blocks(r *model.Result, own []section, volts float64) (list []block, err error) {
	for i := range own {
		b := block{Section: &own[i], Words: []string{own[i].Story}}
		switch own[i].About {
		case aboutCoupling:
			b.ID, b.Title = "coupling", "Coupling of the primary"
			err = b.add(figure.Coupling(r))
		default:
			b.ID, b.Title = "losses", "Losses"
			err = b.add(figure.Losses(r))
		}
		if err != nil {
			return nil, err
		}
		list = append(list, b)
	}
	b, err := voltageBlock(r, volts)
	if b != nil {
		list = append(list, *b)
	}
	return list, err
}

// mostStates is the number of cores whose voltages have room beside each other.
const mostStates = 2

// voltageBlock tells where the voltage stands, bare and with cores all the way in; nil where
// the winding isn't drawn.
func voltageBlock(r *model.Result, volts float64) (*block, error) {
	states := []readings.State{readings.Bare()}
	for i, core := range r.Cores() {
		if i < mostStates {
			s := readings.Bare()
			s.Core, s.To = core, 1
			states = append(states, s)
		}
	}
	at := volts
	if at == 0 {
		at = 1e3
	}
	predicted := decisions.PredictAll(r.Result, states, r.Parts())
	v, ok := report.NewVoltages(predicted, r.Parts(), at)
	if !ok {
		return nil, nil
	}
	b := &block{ID: "voltage", Title: "Voltage", Tables: []titled{{"Peak values, by the mode fitted to the readings", "", v.Table}}}
	b.Words = []string{fmt.Sprintf("With %s at the top.", quantity.FormatValue(at, 3, "V"))}
	if volts == 0 {
		b.Words = []string{"Per kilovolt at the top: all voltages and currents grow with it, power with its square. For cautions, say at which voltage the coil works: top voltage in the sheet, or --top-voltage."}
	}
	for _, s := range v.Heats {
		b.Words = append(b.Words, sentence(s))
	}
	if volts > 0 {
		for _, s := range v.Cautions {
			b.List = append(b.List, sentence(s))
		}
	}
	var shown []figure.Stressed
	for _, p := range predicted {
		if p.Stress != nil {
			shown = append(shown, figure.Stressed{Name: wording.State(p.State, r.Parts()), Stress: p.Stress})
		}
	}
	f := figure.Voltage(r.Session.Drawn.Drawing.Coil, shown, at)
	return b, b.add(&f)
}

// checked lists what was asked for besides the fit: its intervals by profile likelihood and by
// Monte Carlo.
func checked(r *model.Result, e report.Extra) (b *block, err error) {
	if e.Profiles == nil && e.MonteCarlo == nil {
		return nil, nil
	}
	b = &block{ID: "checked", Title: "Linear intervals checked"}
	if e.Profiles != nil {
		t, summary := report.ProfilesTable(e.Profiles, true)
		b.Tables = append(b.Tables, titled{"95 % intervals by profile likelihood: the values for which χ², with all else fitted anew, rises by no more than k²", "", t})
		b.Words = append(b.Words, "By profile likelihood: "+summary)
	}
	if e.MonteCarlo != nil {
		t, words := report.MonteCarloTable(e.MonteCarlo, true)
		b.Tables = append(b.Tables, titled{words[0], "", t})
		b.Words = append(b.Words, "By Monte Carlo: "+words[len(words)-1])
		for _, s := range words[1 : len(words)-1] {
			b.Words = append(b.Words, sentence(s))
		}
	}
	if e.Surface != nil {
		f := figure.Profiles(r, *e.Surface, e.Profiles)
		err = b.add(&f)
	}
	return b, err
}

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
