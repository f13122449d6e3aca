package benchlog

import (
	"fmt"
	"slices"

	"fitcoil/model/readings"
)

// mostKept is the number of readings up to which each is kept: nobody writes
// more by hand, and nobody looks at more one by one. From there on a counter was
// left running, and what counts is the mean of each state.
const mostKept = 5000

// keep appends a reading to the log, or takes it into the mean of its state once
// there are too many.
func (rd *reader) keep(r readings.Reading, at float64) {
	l := rd.log
	if rd.pool != nil {
		rd.pool.Add(r, at)
		return
	}
	if len(l.Readings) == mostKept && !rd.each {
		rd.pool = &readings.Pool{Robust: rd.robust}
		for i, r := range l.Readings {
			rd.pool.Add(r, l.Moments[i])
		}
		rd.pool.Add(r, at)
		l.Readings, l.Moments, l.said = nil, nil, nil
		return
	}
	if list := l.Readings; len(list) == cap(list) {
		l.Readings = slices.Grow(list, rd.room())
	}
	l.Readings = append(l.Readings, r)
	l.Moments = append(l.Moments, at)
	if len(l.Readings) <= mostKept {
		l.said.add(rd.table.Row(), rd.table.Delimiter)
	}
}

// settle makes the means the log's readings, and tells so.
func (rd *reader) settle() {
	l := rd.log
	l.Hours = rd.columns.has(taken)
	if rd.pool == nil {
		if !l.Hours { // they follow one another evenly
			l.Moments = nil
		}
		return
	}
	l.Readings, l.Moments, rd.pool = rd.pool.Readings(), rd.pool.Moments(), nil
	mean := "mean"
	if rd.robust {
		mean = "robust mean"
	}
	rd.bench.notices.add(0, fmt.Sprintf("%d readings are too many to look at one by one: the %s of each of %d states counts as one reading",
		l.Count(), mean, len(l.Readings)))
}

// room returns for how many more readings there shall be room: for those that
// the rest of the file should hold, so that a million are not moved about.
func (rd *reader) room() int {
	n := len(rd.log.Readings)
	if n < 1024 || rd.size == 0 || !rd.each {
		return n + 32
	}
	expected := 1.02 * float64(rd.size) / rd.log.said.meanRow()
	return max(int(expected)-n, n/4)
}
