package waveform

import (
	"math"
	"slices"
)

// clock holds the times of the rows against equal intervals.
type clock struct {
	given   float64 // s, interval from the caller or the preamble, 0 if the times tell it
	byIndex bool    // no times: the rows are counted

	digits      resolution
	n           int
	first, last float64 // s
	firstDigit  float64 // s, worth of the last digit of the first time
	lastDigit   float64
	step        float64 // s, settled from the first rows
	exact       float64 // s, times whose last digit is worth no more show no rounding
	uneven      bool    // there is no common step
	skipped     bool    // a row was passed over before the next
	early       []tick  // the first rows, until step is settled
	marks       []tick  // every so many rows
}

// tick is the time of one row.
type tick struct {
	time, digit float64 // s
	row, line   int
	after       bool    // a row was passed over before it
	step        float64 // s, from the one before, where it is wrong
}

const (
	earlyRows = 512
	markEvery = 1024
	// slack is the share of an interval by which a row may be off, beyond
	// what its digits explain: scopes count samples, they don't drift.
	slack = 0.25
)

// skip tells the clock of a row whose time isn't known.
func (c *clock) skip() { c.skipped = true }

// add takes the time of a row, with the worth of its last digit. It returns
// false when the row doesn't follow the one before at an equal interval.
func (c *clock) add(t, digit float64, line int) bool {
	ok := true
	c.digits.met(t, digit)
	if c.step > 0 { // before, digits are looked at once the first rows are there
		digit = c.digits.of(t, digit)
	}
	if c.n == 0 {
		c.first, c.firstDigit = t, digit
	} else if c.step > 0 && !c.skipped {
		ok = c.follows(tick{time: c.last, digit: c.lastDigit}, tick{time: t, digit: digit})
	}
	c.last, c.lastDigit = t, digit
	if c.step == 0 {
		c.early = append(c.early, tick{time: t, digit: digit, row: c.n, line: line, after: c.skipped})
	}
	if c.n%markEvery == 0 {
		c.marks = append(c.marks, tick{time: t, digit: digit, row: c.n, line: line})
	}
	c.n++
	c.skipped = false
	return ok
}

// follows tells whether b comes one step after a. The difference of two
// rounded times may be off by half the worth of either's last digit.
func (c *clock) follows(a, b tick) bool {
	const rounding = 1 + 1e-6 // of the arithmetic here
	allowed := slack * c.step
	if most := math.Max(a.digit, b.digit); most > c.exact {
		allowed += rounding * (a.digit + b.digit) / 2
	}
	return math.Abs(b.time-a.time-c.step) <= allowed
}

// jumps tells, before the step is settled, that a time doesn't belong to the
// rows so far: it goes back, or far ahead, or a heading stands before it.
func (c *clock) jumps(t float64, heading bool) bool {
	const enough, far = 16, 20
	if c.n < enough {
		return false
	}
	if heading {
		return true
	}
	if t < c.last-c.lastDigit {
		return true
	}
	mean := (c.last - c.first) / float64(c.n-1)
	return mean > 0 && t-c.last > far*(mean+c.lastDigit)
}

// settle fixes the step from the rows so far: the median of the steps over
// many rows, so that a missing row among them is seen as such. It returns the
// early rows that don't follow; only the first, with the step 0, when there is
// no common step at all.
func (c *clock) settle() (off []tick) {
	n := len(c.early)
	if n < 2 {
		return nil
	}
	for i := range c.early {
		t := &c.early[i]
		t.digit = c.digits.of(t.time, t.digit)
	}
	c.firstDigit, c.lastDigit = c.early[0].digit, c.early[n-1].digit
	for i := range c.marks {
		c.marks[i].digit = c.early[0].digit // there is but the first
	}
	if c.step = middleStep(c.early); !(c.step > 0) {
		c.step = math.NaN() // nothing follows; the whole column is at fault
		return nil
	}
	c.exact = c.shownExactly()
	for i := 1; i < n; i++ {
		if !c.early[i].after && !c.follows(c.early[i-1], c.early[i]) {
			t := c.early[i]
			t.step = t.time - c.early[i-1].time
			off = append(off, t)
		}
	}
	if c.uneven = 2*len(off) > n; c.uneven {
		off = []tick{{line: off[0].line}}
	}
	c.early = nil
	return off
}

// shownExactly returns the worth of the last digit of early rows in equal steps, if
// nearly all of them are, so that the interval is a multiple of it: a
// missing row then shows however few the digits are. Otherwise it is 0.
func (c *clock) shownExactly() (digit float64) {
	equal := 0
	for i := 1; i < len(c.early); i++ {
		if a, b := c.early[i-1], c.early[i]; math.Abs(b.time-a.time-c.step) < 1e-3*c.step {
			digit = math.Max(digit, math.Min(a.digit, b.digit))
			equal++
		}
	}
	if equal < len(c.early)*9/10 {
		return 0
	}
	return digit
}

// refine takes the interval that the file states over the one measured, where
// that is known no better.
func (c *clock) refine(stated float64) {
	if u := c.measuredUncertainty(); u > 1e-9*c.measured() && math.Abs(stated-c.measured()) <= 4*u {
		c.given = stated
	}
}

// middleStep returns the most common mean step over a quarter of the rows.
func middleStep(t []tick) float64 {
	span := max(1, len(t)/4)
	var steps []float64
	for i := span; i < len(t); i++ {
		steps = append(steps, (t[i].time-t[i-span].time)/float64(span))
	}
	slices.Sort(steps)
	return steps[len(steps)/2]
}

// strayed returns the mark farthest off the straight line from the first to
// the last row, and how far in s if that is more than an interval's share and
// its digits: intervals that grow or shrink slowly.
func (c *clock) strayed() (worst tick, most float64) {
	if c.byIndex || c.n < 3 {
		return worst, 0
	}
	step := (c.last - c.first) / float64(c.n-1)
	for _, m := range c.marks {
		off := math.Abs(m.time - c.first - float64(m.row)*step)
		if limit := slack*step + m.digit + c.firstDigit + c.lastDigit; off > limit && off > most {
			worst, most = m, off
		}
	}
	return worst, most
}

// measured returns the interval by the times, from the first to the last.
func (c *clock) measured() float64 { return (c.last - c.first) / float64(c.n-1) }

// measuredUncertainty is that of measured: the first and the last time are
// rounded to the worth of their last digits, each a rectangular distribution
// (JCGM 100:2008, 4.3.7). A straight line through all times would be no
// better: rounding repeats from row to row, its errors don't average out.
func (c *clock) measuredUncertainty() float64 {
	first := c.firstDigit
	if first == 0 {
		first = c.lastDigit
	}
	return math.Hypot(first, c.lastDigit) / math.Sqrt(12) / float64(c.n-1)
}

// agrees tells whether another interval is the one of the times, within what
// digits leave open over the whole capture and a thousandth.
func (c *clock) agrees(interval float64) bool {
	return math.Abs(interval-c.measured()) <= 1e-3*c.measured()+4*c.measuredUncertainty()
}

func (c *clock) interval() float64 {
	if c.given > 0 {
		return c.given
	}
	return c.measured()
}

func (c *clock) uncertainty() float64 {
	if c.given > 0 {
		return 0
	}
	return c.measuredUncertainty()
}

func (c *clock) start() float64 {
	if c.byIndex {
		return 0
	}
	return c.first
}
