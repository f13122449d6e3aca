package chart

// Figure is one figure, complete but for its looks.
type Figure struct {
	Name   string   // what is shown, fit for a file name: lower case, hyphens, no extension
	Title  string   // one line
	Alt    string   // what a reader who can't see it needs to know
	Keys   []Key    // what the marks stand for
	Panels []Panel  // from top to bottom, with a common left and right edge
	Across int      // how many panels stand in a row, all of one width; 0 for one
	Width  float64  // points; 0 for the usual, which suits a page; a small screen wants less
	Notes  []string // below the panels, one paragraph each
	Table  Table    // the numbers drawn
}

// Panel is one pair of axes with what is drawn between them. Marks are drawn in
// the order of the fields. All coordinates are in the units of the axes.
type Panel struct {
	Title  string  // one line above the panel; empty for none
	Height float64 // points; 0 for the usual
	Equal  bool    // one scale on both axes; Height then follows from the ranges
	X, Y   Axis
	Areas  []Area
	Bands  []Band
	Rules  []Rule
	Lines  []Line
	Points []Point
	Texts  []Text
	Empty  string // why nothing is drawn, when nothing is
	Bare   bool   // no frame, axes or grid: only what is drawn, if anything, and labels at ticks
}

// Axis is a linear axis, or one of logarithms. Ticks outside Min … Max are not drawn.
type Axis struct {
	Label    string // quantity and unit: "added capacitance [pF]"
	Min, Max float64
	Ticks    []Tick
	Unshown  bool // no tick labels: a panel below, or to the left, has them
	Log      bool // places go by the logarithm of v + Shift
	Shift    float64
}

// Tick is a mark on an axis; one without a label is a minor one.
type Tick struct {
	At    float64
	Label string
}

// XY is a point.
type XY struct{ X, Y float64 }

// Style is a way to draw: a colour, a shape of marks, and dashes of lines. Those from
// 0 to Colors−1 have the colours in turn, the first shape and no dashes.
type Style int

// Series returns the style of a colour, a shape and a pattern of dashes, each counted
// from 0 and starting again beyond the last.
func Series(color, shape, dashes int) Style {
	return Style(color%Colors + Colors*(shape%shapes+shapes*dashes))
}

// Colors is the number of colours that series differ in.
const Colors = 5

// Styles that aren't those of a series.
const (
	Ink   Style = -1 - iota // as the text
	Faint                   // for guides and what stands back
	Mist                    // a tone just off the background, for areas

	inks = 4 // above all of these
)

// Shaped returns s with another shape of marks, counted from 0.
func (s Style) Shaped(shape int) Style {
	if s < 0 {
		return -(-s%inks + Style(inks*(shape%shapes)))
	}
	return Series(int(s)%Colors, shape, int(s)/(Colors*shapes))
}

// Point is one mark, with an error bar where Low or High is set.
type Point struct {
	XY
	Low, High float64 // ends of the error bar; both zero for none
	Wide      bool    // a second bar, broad and pale, from WideLow to WideHigh
	WideLow   float64
	WideHigh  float64
	Style     Style
	Hollow    bool
	Ring      bool   // a ring around it, to call attention
	Label     string // beside it; keep to a few
	Small     bool   // a dot, for many
}

// Line runs through its points in straight pieces.
type Line struct {
	Points []XY
	Style  Style
	Thin   bool
	Bold   bool
	Dashed bool // dashed whatever the style
}

// Band is an area between two curves over x.
type Band struct {
	Points []BandPoint
	Style  Style
}

// BandPoint is a vertical cut through a band.
type BandPoint struct{ X, Low, High float64 }

// Rule is a guide line across the whole panel: horizontal at At, or upright.
type Rule struct {
	At      float64
	Upright bool
	Dashed  bool
}

// Area is a closed outline, filled.
type Area struct {
	Outline []XY
	Style   Style
	Tint    float64 // how much of the colour, 0 to 1, of what has no rim; 0 for all of it, with a rim
}

// Text stands at a point of the panel, centred on it sideways.
type Text struct {
	XY
	Text string
}

// Key explains one kind of mark.
type Key struct {
	Text   string
	Style  Style
	Mark   bool // a mark of the series
	Hollow bool // … not filled
	Ring   bool // … with a ring
	Line   bool // a line
	Dashed bool
	Band   bool // a band
	Area   bool // a filled area
	Bar    bool // an error bar
	// Aside puts the key to the right of the first panel, near the end of its
	// line at At, instead of above the panels; a narrow figure has it above.
	Aside bool
	At    float64
}

// Table holds the numbers of a figure as text.
type Table struct {
	Columns []string
	Rows    [][]string
}

// drawn tells whether a panel has anything that stands for data.
func (p *Panel) drawn() bool {
	return p.Bare || len(p.Areas)+len(p.Bands)+len(p.Lines)+len(p.Points) > 0
}
