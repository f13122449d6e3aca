package chart

import "math"

// labels writes the labels of points, each at the first place around its point
// that is free of marks, lines and other labels. A label that would cover
// another one is left out; the figure's table has them all.
func (p *pen) labels(q *placedPanel) {
	var marks, labels []box
	for _, d := range q.Points {
		r := markRadius
		if d.Ring {
			r = ringRadius
		}
		marks = append(marks, around(q.x(d.X), q.y(d.Y), r))
	}
	marks = append(marks, q.along()...)
	for _, t := range q.Texts {
		w := p.fonts.textWidth(t.Text, smallSize, false)
		x, y := q.x(t.X), q.y(t.Y)
		labels = append(labels, box{x - w/2, y - smallSize/2, x + w/2, y + smallSize/2})
	}
	for _, d := range q.Points {
		if d.Label == "" {
			continue
		}
		x, y := q.x(d.X), q.y(d.Y)
		w := p.fonts.textWidth(p.fonts.clean(d.Label), smallSize, false)
		b, near, free := place(x, y, w, marks, labels, q.frame)
		if !free {
			continue
		}
		labels = append(labels, b)
		if !near {
			p.leader(x, y, b)
		}
		p.text(label{b.left, b.bottom - 0.25*smallSize, left, d.Label, smallSize, false, Ink})
	}
}

// leader joins a mark with a label that is not next to it.
func (p *pen) leader(x, y float64, b box) {
	to := XY{math.Min(math.Max(x, b.left), b.right), math.Min(math.Max(y, b.top), b.bottom)}
	far := math.Hypot(to.X-x, to.Y-y)
	from := XY{x + ringRadius*(to.X-x)/far, y + ringRadius*(to.Y-y)/far}
	p.line([]XY{from, to}, p.palette.faint, gridWidth, nil)
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
// within the frame, and clear of labels, that covers fewest marks; the nearer
// and more usual one if equal.
func place(x, y, w float64, marks, labels []box, frame box) (b box, near, free bool) {
	const h = lineRatio * smallSize
	least := math.MaxInt
	for _, far := range []float64{1, 2, 3, 4.5} {
		d := (ringRadius + 2) * far
		for _, at := range []XY{
			{x + d, y - h/2}, {x - d - w, y - h/2}, {x - w/2, y - d - h}, {x - w/2, y + d},
			{x + 0.7*d, y - 0.7*d - h}, {x + 0.7*d, y + 0.7*d}, {x - 0.7*d - w, y - 0.7*d - h}, {x - 0.7*d - w, y + 0.7*d},
		} {
			c := box{at.X, at.Y, at.X + w, at.Y + h}
			if n := covered(c, marks); frame.holds(c) && covered(c, labels) == 0 && n < least {
				b, near, free, least = c, far == 1, true, n
			}
		}
	}
	return b, near, free
}

// covered counts the boxes of a list that b overlaps.
func covered(b box, list []box) (n int) {
	for _, o := range list {
		if b.overlaps(o) {
			n++
		}
	}
	return n
}
