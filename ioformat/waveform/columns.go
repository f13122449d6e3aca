package waveform

import (
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// roles says which column is what.
type roles struct {
	time     int     // column of times or row numbers, −1 if none
	index    bool    // that column numbers the rows
	seconds  float64 // s, size of the unit of the times; NaN when none is named
	channels []channel
}

// channel is a column of voltages.
type channel struct {
	column int
	volts  float64 // V, size of the unit, or what a count is worth
	zero   float64 // V, of the count 0
	unit   string  // "V", or as written when it is no unit of voltage
}

// assign gives the columns their roles. want is what the caller calls the
// column of the voltage, "" for all.
func (l *layout) assign(want string) (roles, *cells.Fault) {
	r := roles{time: -1, seconds: math.NaN()}
	times := l.findTime(&r)
	var left []int
	for _, i := range l.columnList() {
		if i != r.time && !l.counts(i) && !times.has(i) && !l.segmentName(i) {
			left = append(left, i)
		}
	}
	if f := l.chooseVoltages(&r, left, want); f != nil {
		return r, f
	}
	if f := l.ownTimes(&r, times); f != nil {
		return r, f
	}
	for i := range r.channels {
		c := &r.channels[i]
		c.volts = 1
		c.unit = l.channelUnit(c.column, left)
		if size, ok := voltageUnit(c.unit); ok {
			c.volts, c.unit = size, "V"
		}
	}
	return r, nil
}

// ownTimes takes the times that stand before the channel, where there are
// several. Channels with times of their own can't be read together.
func (l *layout) ownTimes(r *roles, times columnSet) *cells.Fault {
	before := func(column int) int {
		own := r.time
		for i := range column {
			if times.has(i) && (l.advances(i) || !l.advances(own)) {
				own = i
			}
		}
		return own
	}
	if times == 0 {
		return nil
	}
	first := before(r.channels[0].column)
	for _, c := range r.channels[1:] {
		if own := before(c.column); !l.sameTimes(own, first) {
			return &cells.Fault{Line: l.first + 1, Column: own + 1, Header: l.names[own],
				Problem:  l.title(c.column) + " has other times than " + l.title(r.channels[0].column),
				Expected: "the same times for all, or one voltage",
				Do:       "choose one, as in --column " + l.call(r.channels[0].column)}
		}
	}
	l.takeTime(r, first)
	return nil
}

// unitOf returns the unit of column i as written.
func (l *layout) unitOf(i int) string {
	if u := l.units[i]; u != "" {
		return u
	}
	if _, ok := timeUnit(l.names[i]); ok {
		return l.names[i]
	}
	if _, ok := voltageUnit(l.names[i]); ok {
		return l.names[i]
	}
	return ""
}

// channelUnit returns the unit of a column of voltages: in the header, or in
// the settings, which have one for all columns or one for each.
func (l *layout) channelUnit(i int, all []int) string {
	if u := l.unitOf(i); u != "" {
		return u
	}
	s, ok := verticalUnit(l.settingList)
	if !ok {
		return ""
	}
	at := 0
	if len(s.behind) == len(all) {
		at = max(0, slices.Index(all, i))
	} else if len(s.behind) > 1 {
		return ""
	}
	return s.behind[at].text
}

// findTime takes the column whose unit or name is that of a time, else the
// only one that counts up evenly. It returns all that hold times.
func (l *layout) findTime(r *roles) (times columnSet) {
	var named, even, index []int
	for _, i := range l.columnList() {
		name, _ := splitHeader(l.names[i])
		_, isTime := timeUnit(l.unitOf(i))
		switch {
		case isTime || timeName(name):
			named = append(named, i)
		case indexName(name) || l.counts(i):
			index = append(index, i)
		case len(l.values(i)) >= fewestEven && l.countsUp(i):
			even = append(even, i)
		}
	}
	switch {
	case len(named) > 0:
		r.time = named[0]
		for _, i := range named {
			times |= 1 << uint(i)
			if l.advances(i) && !l.advances(r.time) {
				r.time = i
			}
		}
	case len(even) > 0 && len(even) < len(l.columnList()):
		r.time = even[0]
		for _, i := range even {
			if i == even[0] || l.sameTimes(i, even[0]) {
				times |= 1 << uint(i)
			}
		}
	case len(index) > 0 && len(l.columnList()) > 1:
		r.time = index[0]
	default:
		return 0
	}
	l.takeTime(r, r.time)
	return times
}

// fewestEven is the number of rows below which a column may rise evenly by
// chance.
const fewestEven = 12

// takeTime makes column i that of the times.
func (l *layout) takeTime(r *roles, i int) {
	r.time = i
	r.seconds, _ = timeUnit(l.unitOf(i))
	name, _ := splitHeader(l.names[i])
	r.index = math.IsNaN(r.seconds) && (indexName(name) || l.counts(i))
}

// advances tells whether the numbers of a column grow.
func (l *layout) advances(i int) bool {
	v := l.values(i)
	return len(v) > 1 && v[len(v)-1] > v[0]
}

// sameTimes tells whether two columns hold the same.
func (l *layout) sameTimes(i, j int) bool {
	v, w := l.values(i), l.values(j)
	for k := range min(len(v), len(w)) {
		if v[k] != w[k] {
			return false
		}
	}
	return len(v) == len(w)
}

func timeName(name string) bool {
	switch strings.Trim(name, commentMarks) {
	case "time", "t", "x", "x-axis", "x axis", "timestamp", "times", "relative time", "zeit", "temps", "tiempo", "tempo", "tijd", "tid", "epoch", "unix time":
		return true
	}
	return false
}

func indexName(name string) bool {
	switch strings.Trim(name, ".:"+commentMarks) {
	case "sample", "samples", "index", "sequence", "point", "points", "no", "nr", "n", "row", "sample number", "sample no", "data point", "step":
		return true
	}
	return strings.Trim(name, " .:") == "#"
}

// segmentName tells whether a column numbers the segments of a capture.
func (l *layout) segmentName(i int) bool {
	name, _ := splitHeader(l.names[i])
	switch strings.Trim(name, " .:#") {
	case "segment", "seg", "frame", "waveform", "record", "segment number", "acquisition":
		return !slices.ContainsFunc(l.values(i), fractional)
	}
	return false
}

func fractional(v float64) bool { return v != math.Trunc(v) }

func (l *layout) columnList() (list []int) {
	for i := range min(mostColumns, len(l.names)) {
		if l.columns.has(i) {
			list = append(list, i)
		}
	}
	return list
}

// values returns the first numbers of column i; as they are beyond the first
// where they have more digits than a double holds.
func (l *layout) values(i int) (list []float64) {
	const most = 64
	form := quantity.Form{Mark: l.mark}
	long := significant(l.cell(l.first, i)) > mostSignificant
	origin, exact := exactNumber(l.cell(l.first, i), l.mark)
	for _, row := range l.head[l.first:] {
		if i >= len(row) || len(list) == most {
			continue
		}
		if q, err := form.Parse(row[i]); err == nil {
			if d, ok := 0.0, false; long && exact {
				if d, ok = beyond(row[i], l.mark, origin); ok {
					q.Value = d
				}
			}
			list = append(list, q.Value)
		}
	}
	return list
}

// counts tells whether column i numbers the rows.
func (l *layout) counts(i int) bool {
	v := l.values(i)
	for k := range v {
		if fractional(v[k]) || k > 0 && v[k] != v[k-1]+1 {
			return false
		}
	}
	return len(v) >= fewestRows
}

// countsUp tells whether column i rises evenly, times written in few digits
// included.
func (l *layout) countsUp(i int) bool {
	v := l.values(i)
	n := len(v)
	if n < fewestRows || !(v[n-1] > v[0]) {
		return false
	}
	step := (v[n-1] - v[0]) / float64(n-1)
	for k := range v {
		if math.Abs(v[k]-v[0]-float64(k)*step) > 1.5*step || k > 0 && v[k] < v[k-1] {
			return false
		}
	}
	return true
}
