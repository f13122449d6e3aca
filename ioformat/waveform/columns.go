package waveform

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// roles says which column is what.
type roles struct {
	time    int     // column of times or row numbers, −1 if none
	index   bool    // that column numbers the rows
	seconds float64 // s, size of the unit of the times; NaN when none is named
	voltage int
	volts   float64 // V, size of the unit of the voltages
	unit    string  // "V", or as written when it is no unit of voltage
}

// assign gives the columns their roles. want is what the caller calls the
// column of the voltage, "" for the only one.
func (l *layout) assign(want string) (roles, *cells.Fault) {
	r := roles{time: -1, voltage: -1, seconds: math.NaN(), volts: 1}
	l.findTime(&r)
	var left []int
	for i := range mostColumns {
		if l.columns.has(i) && i != r.time && !l.counts(i) {
			left = append(left, i)
		}
	}
	if f := l.chooseVoltage(&r, left, want); f != nil {
		return r, f
	}
	if u := l.unitOf(r.voltage); u != "" {
		if size, ok := voltageUnit(u); ok {
			r.volts, r.unit = size, "V"
		} else {
			r.unit = u
		}
	}
	return r, nil
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

// findTime takes the column whose unit or name is that of a time, else the
// only one that counts up evenly.
func (l *layout) findTime(r *roles) {
	var named, even, index []int
	for i := range len(l.names) {
		if !l.columns.has(i) {
			continue
		}
		name, _, _ := cells.SplitUnit(l.names[i])
		_, isTime := timeUnit(l.unitOf(i))
		switch {
		case isTime || timeName(name):
			named = append(named, i)
		case indexName(name) || l.counts(i):
			index = append(index, i)
		case l.countsUp(i):
			even = append(even, i)
		}
	}
	switch {
	case len(named) > 0:
		r.time = named[0]
	case len(even) > 0 && len(even) < len(l.columnList()):
		r.time = even[0]
	case len(index) > 0 && len(l.columnList()) > 1:
		r.time = index[0]
	default:
		return
	}
	r.seconds = l.timeSize(r.time)
	name, _, _ := cells.SplitUnit(l.names[r.time])
	r.index = math.IsNaN(r.seconds) && (indexName(name) || l.counts(r.time))
}

func (l *layout) timeSize(i int) float64 {
	size, _ := timeUnit(l.unitOf(i))
	return size
}

func timeName(name string) bool {
	switch name {
	case "time", "t", "x", "x-axis", "x axis", "timestamp", "zeit", "temps", "tiempo", "tempo", "tijd", "tid":
		return true
	}
	return false
}

func indexName(name string) bool {
	switch strings.Trim(name, " .:") {
	case "sample", "samples", "index", "sequence", "point", "points", "no", "nr", "#", "n", "row", "sample number", "sample no":
		return true
	}
	return false
}

func (l *layout) columnList() (list []int) {
	for i := range mostColumns {
		if l.columns.has(i) {
			list = append(list, i)
		}
	}
	return list
}

// values returns the first numbers of column i.
func (l *layout) values(i int) (list []float64) {
	const most = 64
	for _, row := range l.head[l.first:] {
		if i >= len(row) || len(list) == most {
			continue
		}
		if q, err := (quantity.Form{Mark: l.mark}).Parse(row[i]); err == nil {
			list = append(list, q.Value)
		}
	}
	return list
}

// counts tells whether column i numbers the rows.
func (l *layout) counts(i int) bool {
	v := l.values(i)
	for k := range v {
		if v[k] != math.Trunc(v[k]) || k > 0 && v[k] != v[k-1]+1 {
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

// chooseVoltage settles which of the columns left holds the voltage.
func (l *layout) chooseVoltage(r *roles, left []int, want string) *cells.Fault {
	if want != "" {
		return l.wanted(r, want)
	}
	switch len(left) {
	case 1:
		r.voltage = left[0]
		return nil
	case 0:
		return &cells.Fault{Line: l.first + 1, Problem: "the table has no column of voltages beside the times",
			Do: "save the capture with the voltages, or name the column (--column)"}
	}
	if above := l.first - 1; l.delimiter == ',' && above >= 0 && 2*len(l.head[above]) == len(l.names) {
		return &cells.Fault{Line: l.first + 1,
			Problem:  fmt.Sprintf("the row has %d cells", len(l.names)),
			Expected: fmt.Sprintf("%d as in the header", len(l.head[above])),
			Do:       "if the comma is a decimal mark too, save the capture with ; between cells or with decimal points"}
	}
	return &cells.Fault{Line: l.first + 1,
		Problem:  fmt.Sprintf("%d columns could be the voltage: %s", len(left), l.describe(left)),
		Expected: "one",
		Do:       "choose one by name or number, as in --column " + l.example(left[0])}
}

// wanted finds the column that the caller asked for by name, number or letter.
func (l *layout) wanted(r *roles, want string) *cells.Fault {
	want = quantity.Trim(want)
	at := -1
	var names []string
	for i, header := range l.names {
		name, _, _ := cells.SplitUnit(header)
		if header != "" {
			names = append(names, bareName(header))
		}
		if at < 0 && (strings.EqualFold(want, header) || strings.EqualFold(want, name)) && header != "" {
			at = i
		}
	}
	if n, err := strconv.Atoi(want); err == nil && at < 0 {
		at = n - 1
	}
	for i := range l.names {
		if at < 0 && strings.EqualFold(want, cells.Letter(i+1)) {
			at = i
		}
	}
	if l.columns.has(at) && at >= 0 && at != r.time {
		r.voltage = at
		return nil
	}
	f := &cells.Fault{Line: l.first + 1, Problem: "there is no column of voltages called " + quantity.Quote(want)}
	if at >= 0 && at == r.time {
		f.Problem = quantity.Quote(want) + " is the column of times"
	}
	var rest []int
	for _, i := range l.columnList() {
		if i != r.time {
			rest = append(rest, i)
		}
	}
	f.Expected = l.describe(rest)
	if near, ok := suggest.Nearest(want, names); ok && at < 0 {
		f.Do = "did you mean " + near + "?"
	}
	return f
}

// describe lists columns by name and letter.
func (l *layout) describe(list []int) string {
	var words []string
	for _, i := range list {
		w := "column " + cells.Letter(i+1)
		if l.names[i] != "" {
			w = l.names[i] + " (" + w + ")"
		}
		words = append(words, w)
	}
	return strings.Join(words, ", ")
}

// bareName returns a header as written, without a unit in brackets.
func bareName(header string) string {
	name, _, _ := strings.Cut(strings.ReplaceAll(header, "(", "["), "[")
	return quantity.Trim(name)
}

func (l *layout) example(i int) string {
	if n := bareName(l.names[i]); n != "" && !strings.ContainsAny(n, " \t'\"") {
		return n
	}
	return strconv.Itoa(i + 1)
}
