package chart

import "math"

// box is a rectangle on the page in points, y growing downwards.
type box struct{ left, top, right, bottom float64 }

func (b box) overlaps(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

func (b box) holds(o box) bool {
	return b.left <= o.left && o.right <= b.right && b.top <= o.top && o.bottom <= b.bottom
}

// lineRatio is the distance of lines of text in sizes of the font.
const lineRatio = 1.3

func lineHeight(size float64) float64 { return lineRatio * size }

// layout is where everything goes.
type layout struct {
	width  float64
	height float64
	texts  []label
	keys   []placedKey
	panels []placedPanel
}

// align says which point of a text its x is.
type align float64

const (
	left   align = 0
	centre align = 0.5
	right  align = 1
)

// label is one line of text, with its baseline at y.
type label struct {
	x, y  float64
	align align
	text  string
	size  float64
	bold  bool
	style Style
}

// placedPanel is a panel with the frame of its data area.
type placedPanel struct {
	*Panel
	frame box
	inset float64
}

// x and y map data to the page.
func (p *placedPanel) x(v float64) float64 {
	share := p.X.share(v)
	return p.frame.left + p.inset + share*(p.frame.right-p.frame.left-2*p.inset)
}

func (p *placedPanel) y(v float64) float64 {
	share := p.Y.share(v)
	return p.frame.bottom - p.inset - share*(p.frame.bottom-p.frame.top-2*p.inset)
}

// arrange gives each row its place from the top down; the height follows.
func (f *Figure) arrange(fonts fonts) *layout {
	l := &layout{width: f.Width}
	if l.width == 0 {
		l.width = usualWidth
	}
	y := margin
	y = l.paragraph(fonts.wrap(f.Title, l.width-2*margin, titleSize, true), y, titleSize, true)
	y = l.topKeys(fonts, f.Keys, y+2)
	edge := l.edges(f, fonts)
	if f.Across > 1 {
		y = l.matrix(f, fonts, edge, y+gap)
	} else {
		for i := range f.Panels {
			y = l.panel(&f.Panels[i], fonts, edge, y+gap)
		}
	}
	if len(l.panels) > 0 {
		y = math.Max(y, l.sideKeys(fonts, f.Keys))
	}
	for _, n := range f.Notes {
		y = l.paragraph(fonts.wrap(n, l.width-2*margin, smallSize, false), y+4, smallSize, false)
	}
	l.height = math.Ceil(y + margin)
	return l
}

// paragraph places lines of text from the left, and returns where they end.
func (l *layout) paragraph(lines []string, y, size float64, bold bool) float64 {
	for _, line := range lines {
		l.texts = append(l.texts, label{margin, y + size, left, line, size, bold, Ink})
		y += lineHeight(size)
	}
	return y
}

// edges returns the left and right edge that all panels share.
func (l *layout) edges(f *Figure, fonts fonts) box {
	most := 0.0
	for i := range f.Panels {
		if f.Panels[i].Y.Unshown {
			continue
		}
		for _, t := range f.Panels[i].Y.shown() {
			most = math.Max(most, fonts.textWidth(l.fit(fonts, t.Label), smallSize, false))
		}
	}
	b := box{left: margin + most + tickLength + 3, right: l.width - margin}
	if w := l.sideWidth(fonts, f.Keys); w > 0 {
		b.right -= w
	}
	return b
}

// fit shortens a name that stands at a tick.
func (l *layout) fit(f fonts, s string) string {
	share := 0.3
	if l.width < usualWidth {
		share = 0.42
	}
	return f.shorten(s, share*l.width, smallSize)
}

// shown returns the ticks within the range.
func (a *Axis) shown() (list []Tick) {
	slack := 1e-9 * (a.Max - a.Min)
	for _, t := range a.Ticks {
		if t.At >= a.Min-slack && t.At <= a.Max+slack {
			list = append(list, t)
		}
	}
	return list
}

// panel places one panel below y, and returns where it ends.
func (l *layout) panel(p *Panel, fonts fonts, edge box, y float64) float64 {
	if p.Title != "" {
		l.texts = append(l.texts, label{margin, y + labelSize, left, p.Title, labelSize, true, Ink})
		y += lineHeight(labelSize)
	}
	if p.Y.Label != "" && p.drawn() {
		l.texts = append(l.texts, label{margin, y + smallSize, left, p.Y.Label, smallSize, false, Ink})
		y += lineHeight(smallSize)
	}
	y += 3
	frame := box{edge.left, y, edge.right, y + p.tall(edge, l.width)}
	room := inset
	if p.Bare {
		room = 0
	}
	l.panels = append(l.panels, placedPanel{p, frame, room})
	if !p.drawn() {
		return l.excuse(&l.panels[len(l.panels)-1], fonts)
	}
	y = frame.bottom
	placed := &l.panels[len(l.panels)-1]
	l.yTicks(placed, fonts)
	if p.X.Unshown {
		return y
	}
	return l.below(placed, labelSize, l.width, fonts)
}

// below writes ticks and label of the horizontal axis, and returns where they end.
func (l *layout) below(p *placedPanel, size, room float64, fonts fonts) float64 {
	y := p.frame.bottom
	if len(p.X.Ticks) > 0 {
		y += tickLength + 2
		free := math.Inf(-1) // of labels from there on
		for _, t := range p.X.shown() {
			if half := fonts.textWidth(t.Label, smallSize, false) / 2; t.Label != "" && p.x(t.At)-half >= free {
				l.texts = append(l.texts, label{p.x(t.At), y + smallSize, centre, t.Label, smallSize, false, Ink})
				free = p.x(t.At) + half + 2
			}
		}
		y += lineHeight(smallSize)
	}
	if p.X.Label != "" {
		l.texts = append(l.texts, label{(p.frame.left + p.frame.right) / 2, y + size, centre, fonts.shorten(p.X.Label, room, size), size, false, Ink})
		y += lineHeight(size)
	}
	return y
}

func (l *layout) yTicks(p *placedPanel, fonts fonts) {
	for _, t := range p.Y.shown() {
		if t.Label != "" {
			l.texts = append(l.texts, label{p.frame.left - tickLength - 3, p.y(t.At) + 0.35*smallSize, right, l.fit(fonts, t.Label), smallSize, false, Ink})
		}
	}
}

// tall returns the height of the data area, which is lower in a narrow figure.
func (p *Panel) tall(edge box, width float64) float64 {
	lower := func(height float64) float64 {
		room := lineHeight(smallSize)*float64(len(p.Y.shown())) + 2*inset
		return math.Max(height*math.Min(1, math.Max(0.75, width/usualWidth)), math.Min(height, room))
	}
	switch {
	case !p.drawn():
		return 60
	case p.Equal:
		perUnit := (edge.right - edge.left - 2*inset) / (p.X.Max - p.X.Min)
		return perUnit*(p.Y.Max-p.Y.Min) + 2*inset
	case p.Bare:
		return p.Height
	case p.Height > 0:
		return lower(p.Height)
	}
	return lower(plotHeight)
}

// excuse says in the middle of a frame why it is empty. The frame grows if need
// be.
func (l *layout) excuse(p *placedPanel, fonts fonts) float64 {
	frame := &p.frame
	lines := fonts.wrap(p.Empty, frame.right-frame.left-4*inset, labelSize, false)
	height := lineHeight(labelSize) * float64(len(lines))
	frame.bottom = math.Max(frame.bottom, frame.top+height+2*inset)
	y := (frame.top+frame.bottom)/2 - height/2
	for _, line := range lines {
		l.texts = append(l.texts, label{(frame.left + frame.right) / 2, y + labelSize, centre, line, labelSize, false, Ink})
		y += lineHeight(labelSize)
	}
	return frame.bottom
}
