package chart

const (
	between = 7.0 // panels in a row
	tight   = 3.0 // between the frame and the ends of the ranges, in a panel of a row
)

// matrix places panels in rows of f.Across, and returns where the last ends. Titles stand
// above their panels; the label of the vertical axis of a row above its first panel; that of a
// horizontal axis below.
func (l *layout) matrix(f *Figure, fonts fonts, edge box, y float64) float64 {
	width := (edge.right - edge.left - between*float64(f.Across-1)) / float64(f.Across)
	for i := 0; i < len(f.Panels); i += f.Across {
		row := f.Panels[i:min(i+f.Across, len(f.Panels))]
		y = l.row(row, fonts, edge.left, width, y) + between
	}
	return y - between
}

// row places one row, and returns where it ends.
func (l *layout) row(row []Panel, fonts fonts, left, width, y float64) float64 {
	height, head := 0.0, false
	for i := range row {
		height = max(height, row[i].Height)
		head = head || row[i].Title != "" || row[i].Y.Label != ""
	}
	if head {
		for i := range row {
			l.rowHead(&row[i], fonts, left+float64(i)*(width+between), width, y)
		}
		y += lineHeight(smallSize) + 2
	}
	end := y + height
	for i := range row {
		p := &row[i]
		x := left + float64(i)*(width+between)
		l.panels = append(l.panels, placedPanel{p, box{x, y, x + width, y + height}, tight})
		placed := &l.panels[len(l.panels)-1]
		if p.Bare || !p.drawn() {
			continue
		}
		if !p.Y.Unshown {
			l.yTicks(placed, fonts)
		}
		if !p.X.Unshown {
			end = max(end, l.below(placed, smallSize, width+between, fonts))
		}
	}
	return end
}

// rowHead writes a panel's title, or else the label of its vertical axis.
func (l *layout) rowHead(p *Panel, fonts fonts, x, width, y float64) {
	text := p.Title
	if text == "" && !p.Y.Unshown {
		text = p.Y.Label
	}
	if text != "" {
		l.texts = append(l.texts, label{x, y + smallSize, left, fonts.shorten(text, width, smallSize), smallSize, p.Title != "", Ink})
	}
}
