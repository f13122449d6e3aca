package waveform

import (
	"math"
	"strings"

	"fitcoil/ioformat/cells"
)

// Some instruments write several records one below the other: segments of one
// acquisition, or the captures of a series. They are told from a damaged table
// by what they have in common: all have the same number of rows, and each
// begins where the first begins, or all are apart.

// pause is a place where the rows don't go on evenly, or below a heading.
type pause struct {
	row, line     int
	before, after tick          // of the rows around it; zero without times
	faults        []cells.Fault // what is wrong if it isn't a new segment
}

const (
	fewestSegmentRows = 16
	mostPauses        = 1 << 16
)

func (rd *reader) pause(p pause) {
	if len(rd.breaks) == mostPauses {
		rd.moreBreaks += max(1, len(p.faults))
		return
	}
	rd.breaks = append(rd.breaks, p)
}

// headings tells whether lines between rows announce another segment: they
// repeat the header or say so.
func (rd *reader) headings(list []cells.Fault) bool {
	for _, f := range list {
		text := strings.ToLower(f.Problem)
		for _, name := range rd.names {
			if name != "" && strings.Contains(text, strings.ToLower(name)) {
				return true
			}
		}
		for _, word := range []string{"segment", "frame", "waveform", "record", "acquisition"} {
			if strings.Contains(text, word) {
				return true
			}
		}
	}
	return false
}

// part is a run of rows that belong together.
type part struct {
	from, to int
	clock    clock
}

// parts returns the segments of the capture; a single part when there are
// none, or when its breaks are no beginnings.
func (rd *reader) parts() []part {
	n := len(rd.samples[0])
	if len(rd.breaks) == 0 || rd.moreBreaks > 0 || !rd.segmented() {
		c := rd.clock
		if rd.refined > 0 {
			c.refine(rd.refined)
		}
		return []part{{0, n, c}}
	}
	var list []part
	for i := range len(rd.breaks) + 1 {
		p := part{to: n, clock: rd.clock}
		if i > 0 {
			p.from = rd.breaks[i-1].row
		}
		if i < len(rd.breaks) {
			p.to = rd.breaks[i].row
		}
		p.clock.n = p.to - p.from
		if rd.time >= 0 {
			rd.limit(&p, i)
		}
		list = append(list, p)
	}
	return list
}

// limit makes the clock of a part that of its rows alone.
func (rd *reader) limit(p *part, i int) {
	c := &p.clock
	if i > 0 {
		after := rd.breaks[i-1].after
		c.first, c.firstDigit = after.time, after.digit
	}
	if i < len(rd.breaks) {
		before := rd.breaks[i].before
		c.last, c.lastDigit = before.time, before.digit
	}
	c.marks = nil
	for _, m := range rd.clock.marks {
		if m.row >= p.from && m.row < p.to {
			m.row -= p.from
			c.marks = append(c.marks, m)
		}
	}
	if rd.refined > 0 {
		c.refine(rd.refined)
	}
}

// segmented tells whether the breaks are beginnings of segments.
func (rd *reader) segmented() bool {
	c := &rd.clock
	each := rd.breaks[0].row
	if each < fewestSegmentRows {
		return false
	}
	back, ahead := 0, 0
	for i, p := range rd.breaks {
		if p.row != (i+1)*each {
			return false
		}
		slack := c.step + p.after.digit + c.firstDigit
		switch {
		case rd.time < 0 || math.Abs(p.after.time-c.first) <= slack:
			back++
		case p.after.time-p.before.time > 2*slack:
			ahead++
		}
	}
	rest := len(rd.samples[0]) - len(rd.breaks)*each
	if rest != each && rest != each-1 { // the last row may have been cut off
		return false
	}
	return back == len(rd.breaks) || ahead == len(rd.breaks) && ahead > 1
}
