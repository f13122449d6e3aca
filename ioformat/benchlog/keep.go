package benchlog

import (
	"fmt"
	"strings"

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
	l.Readings = append(l.Readings, r)
	l.Moments = append(l.Moments, at)
	if len(l.Readings) <= mostKept {
		l.said = append(l.said, strings.Join(rd.Row(), string(rd.Delimiter)))
	}
}

// settle makes the means the log's readings, and tells so.
func (rd *reader) settle() {
	l := rd.log
	l.Hours = rd.has(taken)
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
