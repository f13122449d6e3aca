package chart

import "math"

// labels writes the labels of points, each at the first place around its point
// that is free of marks and other labels.
func (p *pen) labels(q *placedPanel) {
	var taken []box
	for _, d := range q.Points {
		taken = append(taken, around(q.x(d.X), q.y(d.Y), markRadius))
	}
	for _, t := range q.Texts {
		w := p.fonts.textWidth(t.Text, smallSize, false)
		x, y := q.x(t.X), q.y(t.Y)
		taken = append(taken, box{x - w/2, y - smallSize/2, x + w/2, y + smallSize/2})
	}
	taken = append(taken, q.along()...)
	for _, d := range q.Points {
		if d.Label == "" {
			continue
		}
		x, y := q.x(d.X), q.y(d.Y)
		w := p.fonts.textWidth(p.fonts.clean(d.Label), smallSize, false)
		b := place(x, y, w, taken, q.frame)
		taken = append(taken, b)
		p.text(label{b.left, b.bottom - 0.25*smallSize, left, d.Label, smallSize, false, Ink})
	}
}

// along covers the lines of a panel with small boxes, near enough to each other
// that no letter fits between.
func (q *placedPanel) along() (list []box) {
	const step = 4.0
	for _, l := range q.Lines {
		points := q.onPage(l.Points)
		for i := 1; i < len(points); i++ {
			a, b := points[i-1], points[i]
			n := math.Ceil(math.Hypot(b.X-a.X, b.Y-a.Y) / step)
			for k := range int(math.Min(n, 1000)) {
				t := float64(k) / n
				list = append(list, around(a.X+t*(b.X-a.X), a.Y+t*(b.Y-a.Y), 1))
			}
		}
	}
	return list
}

func around(x, y, r float64) box { return box{x - r, y - r, x + r, y + r} }

// place returns where a text of width w goes beside the point x, y: the place
// within the frame that covers least, the nearer and more usual one if equal.
func place(x, y, w float64, taken []box, frame box) box {
	const h = lineRatio * smallSize
	away := ringRadius + 2
	var best box
	least := -1
	for _, far := range []float64{1, 2, 3} {
		d := away * far
		for _, at := range []XY{
			{x + d, y - h/2}, {x - d - w, y - h/2}, {x - w/2, y - d - h}, {x - w/2, y + d},
			{x + 0.7*d, y - 0.7*d - h}, {x + 0.7*d, y + 0.7*d}, {x - 0.7*d - w, y - 0.7*d - h}, {x - 0.7*d - w, y + 0.7*d},
		} {
			b := box{at.X, at.Y, at.X + w, at.Y + h}
			if !frame.holds(b) {
				continue
			}
			covered := 0
			for _, t := range taken {
				if b.overlaps(t) {
					covered++
				}
			}
			if least < 0 || covered < least {
				best, least = b, covered
			}
		}
	}
	if least < 0 { // a name as wide as the panel
		return box{frame.left, y, frame.left + w, y + h}
	}
	return best
}
