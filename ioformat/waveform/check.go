package waveform

import (
	"fmt"
	"math"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// finish looks at what only the whole table shows.
func (rd *reader) finish() {
	if len(rd.pending) > 0 {
		if rd.words == len(rd.pending) { // a closing remark of the instrument
			rd.assumed("the lines from %d on are not rows of the table: left out", rd.pending[0].Line)
		} else {
			rd.report()
		}
	}
	if rd.time >= 0 && rd.clock.step == 0 {
		rd.settle()
	}
	parts := rd.parts()
	if len(parts) == 1 {
		for _, p := range rd.breaks {
			for _, f := range p.faults {
				rd.faults.Add(f)
			}
		}
		rd.faults.More += rd.moreBreaks
	}
	if len(rd.faults.List) > 0 {
		return
	}
	if n := len(rd.samples[0]); n < fewestRows {
		rd.faults.Add(cells.Fault{File: rd.name, Line: rd.first + 1, Problem: fmt.Sprintf("the table has %d rows", n),
			Expected: fmt.Sprintf("at least %d", fewestRows)})
		return
	}
	rd.checkLength(parts)
	if rd.unknown != nil {
		f := *rd.unknown
		f.File = rd.name
		if f.Do == "" {
			f.Do = fmt.Sprintf("give it with --interval: the time from the first sample to the last, divided by %d", parts[0].to-parts[0].from-1)
		}
		rd.faults.Add(f)
	}
	if rd.time < 0 || rd.index {
		return
	}
	for _, p := range parts {
		if rd.checkTimes(&p.clock); len(rd.faults.List) > 0 {
			return
		}
	}
}

// checkLength holds the number of rows against the one that the settings
// state.
func (rd *reader) checkLength(parts []part) {
	n, s, ok := rd.recordLength(rd.settingList)
	whole := len(rd.samples[0])
	if !ok || abs(n-whole) <= 1 || abs(n-(parts[0].to-parts[0].from)) <= 1 {
		return
	}
	rd.faults.Add(cells.Fault{File: rd.name, Line: s.line, Column: s.behind[0].column,
		Problem:  fmt.Sprintf("%s is stated, and the table has %d rows", quantity.Quote(s.text+" "+s.behind[0].text), whole),
		Expected: "as many rows as stated",
		Do:       fmt.Sprintf("save the capture again, whole; if the rest isn't wanted, write %d there", whole)})
}

func abs(n int) int { return max(n, -n) }

// checkTimes holds the whole column of times against equal intervals, and
// against the interval that was given or stated.
func (rd *reader) checkTimes(c *clock) {
	if !(c.last > c.first) && c.given > 0 {
		rd.assumed("the times don't advance: the rows were counted, %s apart as given", inWords(c.given))
		return
	}
	if !(c.last > c.first) {
		rd.faults.Add(rd.timeFault(rd.first+1, "the times don't advance", "times at equal intervals",
			"save them with more digits, or give the time between samples with --interval: the rows are counted then"))
		return
	}
	if t, off := c.strayed(); off > 0 {
		rd.faults.Add(rd.timeFault(t.line, fmt.Sprintf("the time is %s s off the equal intervals of the whole capture", quantity.Digits(off, 3)),
			"samples at equal intervals", "choose equal intervals in the scope, and capture again"))
		return
	}
	if c.given > 0 && !c.agrees(c.given) {
		rd.faults.Add(cells.Fault{File: rd.name, Problem: "the sample interval given is " + inWords(c.given),
			Expected: inWords(c.measured()) + ", by which the times advance", Do: "leave it out: the times tell the interval"})
	} else if s := rd.stated; c.given == 0 && s.line > 0 {
		switch {
		case c.agrees(s.interval):
			rd.refined = s.interval
		case s.named && math.Abs(s.interval/c.measured()-1) > sameInterval+s.rounding():
			rd.faults.Add(cells.Fault{File: rd.name, Line: s.line, Column: s.column,
				Problem:  fmt.Sprintf("the file states %s, and its times advance by %s", s.describe(), inWords(c.measured())),
				Expected: "one interval", Do: "if the times are right, delete this line; else save the capture again"})
		}
	}
	open := *c
	if rd.refined > 0 {
		open.refine(rd.refined)
	}
	if rel := open.uncertainty() / open.interval(); rel > mostOpen {
		rd.faults.Add(rd.timeFault(rd.first+1, fmt.Sprintf("the times are so coarse that the interval is open by %s %%", quantity.Digits(100*rel, 2)),
			"times that tell it", "save them with more digits, or give the time between samples with --interval"))
	}
}

// mostOpen is the relative standard uncertainty of an interval beyond which no
// frequency is worth naming.
const mostOpen = 0.1
