package waveform

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// mostChannels is the number of voltages that are read when none is chosen.
const mostChannels = 8

// chooseVoltages settles which of the columns left hold the voltages.
func (l *layout) chooseVoltages(r *roles, left []int, want string) *cells.Fault {
	if want != "" {
		return l.wanted(r, want)
	}
	if len(left) == 0 {
		return &cells.Fault{Line: l.first + 1, Problem: "the table has no column of voltages beside the times",
			Do: "save the capture with the voltages, or name the column (--column)"}
	}
	if above := l.above(l.first); len(left) > 1 && l.delimiter == ',' && above >= 0 && 2*len(l.head[above]) == len(l.names) && strings.Join(l.names, "") == "" {
		return &cells.Fault{Line: l.first + 1,
			Problem:  fmt.Sprintf("the row has %d cells", len(l.names)),
			Expected: fmt.Sprintf("%d as in the header", len(l.head[above])),
			Do:       "if the comma is a decimal mark too, save the capture with ; between cells or with decimal points"}
	}
	if len(left) > mostChannels {
		f := &cells.Fault{Line: l.first + 1,
			Problem:  fmt.Sprintf("%d columns could be the voltage: %s …", len(left), l.describe(left[:3])),
			Expected: fmt.Sprintf("at most %d", mostChannels),
			Do:       "choose one by name or letter, as in --column " + l.call(left[0])}
		if r.time < 0 {
			f.Problem = fmt.Sprintf("the lines hold %d numbers each and no time", len(left))
			f.Do = "if they are samples one after the other, write each on a line of its own; else choose a column, as in --column " + l.call(left[0])
		}
		return f
	}
	for _, i := range left {
		r.channels = append(r.channels, channel{column: i})
	}
	return nil
}

// callings are the ways in which a column is called: the header with and
// without its unit, the number, the letter.
func (l *layout) callings(want string) (byName, byPlace []int) {
	for _, i := range l.columnList() {
		header := l.names[i]
		name, unit := splitHeader(header)
		both := quantity.Trim(name + " " + strings.ToLower(unit))
		if header != "" && slices.ContainsFunc([]string{header, name, both}, func(s string) bool { return strings.EqualFold(want, s) }) {
			byName = append(byName, i)
		}
	}
	n, err := strconv.Atoi(want)
	for _, i := range l.columnList() {
		letter := cells.Letter(i + 1)
		if strings.EqualFold(want, "column "+letter) {
			return []int{i}, nil
		}
		if err == nil && n == i+1 || strings.EqualFold(want, letter) {
			byPlace = append(byPlace, i)
		}
	}
	return byName, byPlace
}

// called returns the columns of voltages that want may mean.
func (l *layout) called(want string, time int) (list []int) {
	byName, byPlace := l.callings(want)
	for _, i := range append(byName, byPlace...) {
		if i != time && !slices.Contains(list, i) {
			list = append(list, i)
		}
	}
	return list
}

// call returns how to call column i so that no other is meant.
func (l *layout) call(i int) string {
	letter := cells.Letter(i + 1)
	for _, s := range []string{bareName(l.names[i]), l.names[i], strconv.Itoa(i + 1), letter} {
		byName, byPlace := l.callings(s)
		if s == "" || strings.ContainsAny(s, `'"`) || len(byName)+len(byPlace) == 0 {
			continue
		}
		if !slices.ContainsFunc(append(byName, byPlace...), func(k int) bool { return k != i }) {
			if strings.ContainsAny(s, " \t[]()#$&;*") {
				return `"` + s + `"`
			}
			return s
		}
	}
	return `"column ` + letter + `"`
}

// wanted finds the column that the caller asked for by name, number or letter.
func (l *layout) wanted(r *roles, want string) *cells.Fault {
	want = quantity.Trim(want)
	list := l.called(want, r.time)
	if len(list) == 1 {
		r.channels = []channel{{column: list[0]}}
		return nil
	}
	f := &cells.Fault{Line: l.first + 1, Problem: "there is no column of voltages called " + quantity.Quote(want)}
	if len(list) > 1 {
		f.Problem = quantity.Quote(want) + " may mean " + l.describe(list)
		f.Expected = "one"
		f.Do = fmt.Sprintf("write --column %s or --column %s", l.call(list[0]), l.call(list[1]))
		return f
	}
	if byName, byPlace := l.callings(want); slices.Contains(append(byName, byPlace...), r.time) {
		f.Problem = quantity.Quote(want) + " is the column of times"
	}
	var rest []int
	var names []string
	for _, i := range l.columnList() {
		if i != r.time {
			rest = append(rest, i)
			names = append(names, bareName(l.names[i]))
		}
	}
	f.Expected = l.describe(rest)
	f.Do = suggest.Meant(want, names, "")
	return f
}

// describe lists columns by name and letter.
func (l *layout) describe(list []int) string {
	var words []string
	for _, i := range list {
		words = append(words, l.title(i))
	}
	return strings.Join(words, ", ")
}

// title names a column by its header and its letter.
func (l *layout) title(i int) string {
	w := "column " + cells.Letter(i+1)
	if l.names[i] != "" {
		w = l.names[i] + " (" + w + ")"
	}
	return w
}

// bareName returns a header as written, without a unit in brackets.
func bareName(header string) string {
	name, _, _ := strings.Cut(strings.ReplaceAll(header, "(", "["), "[")
	return quantity.Trim(name)
}

// scaleCounts turns the whole numbers of a converter into volts where the
// settings say how. Two rules are in use: (count − reference)·increment +
// origin, and (count − offset)·multiplier + zero (common practice).
func (rd *reader) scaleCounts(c *channel, at, of int) {
	if slices.ContainsFunc(rd.values(c.column), fractional) {
		return
	}
	if u := strings.ToLower(rd.unitOf(c.column)); u != "" && u != "counts" {
		return
	}
	value := func(names ...string) (x float64, unit string, line int) {
		s, _, ok := one(rd.settingList, names...)
		if !ok {
			return 0, "", 0
		}
		k := 0
		if len(s.behind) >= of {
			k = at
		}
		q, err := quantity.Form{Mark: rd.mark}.Parse(s.behind[k].text)
		if err != nil {
			q, err = quantity.Form{Mark: rd.mark, Dimension: quantity.Voltage}.Parse(s.behind[k].text)
		} else if size, isVoltage := voltageUnit(s.unit); isVoltage {
			q.Value *= size
		} else if size, isVoltage := voltageUnit(s.behind[k].next); isVoltage {
			q.Value *= size
		}
		if err != nil {
			return 0, "", 0
		}
		return q.Value, s.text, s.line
	}
	if c.unit == "V" && rd.unitOf(c.column) == "" && c.volts == 1 {
		c.unit = "" // what the settings call the axis
		defer func() {
			if c.unit == "" {
				rd.assumed("the samples are whole numbers: taken for counts of the converter, not for volts")
			}
		}()
	}
	step, name, line := value("yincrement", "ymult", "yincr", "ymultiplier", "voltspercount", "voltsperbit", "voltsperlsb", "voltspercode",
		"verticalincrement", "scalefactor", "lsb", "countscale")
	if !(step > 0) {
		return
	}
	reference, _, _ := value("yreference", "yoff", "yref", "zerocount", "offsetcounts")
	origin, _, _ := value("yorigin", "yzero", "zerovoltage")
	c.volts, c.zero, c.unit = step, origin-reference*step, "V"
	rd.assumed("the samples are counts of the converter: turned into volts with %s = %s V in line %d", quantity.Quote(name), quantity.Digits(step, 6), line)
}
