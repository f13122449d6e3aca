package waveform

import (
	"math"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// stated is a sample interval that the preamble gives.
type stated struct {
	interval float64 // s
	line     int     // 0: none is stated
	column   int     // of the value, from 1
	text     string
	named    bool // the unit is named
}

// interval looks for the sample interval or rate among the cells that don't
// belong to the table: beside their name, or below it.
func (l *layout) interval() (s stated) {
	for i, row := range l.head {
		for j, cell := range row {
			if i >= l.first && l.columns.has(j) {
				continue
			}
			key, inline := cutKey(cell)
			name, unit, _ := cells.SplitUnit(key)
			rate, ok := intervalName(name)
			if !ok {
				continue
			}
			for _, v := range l.beside(i, j, inline) {
				text := v.text
				if _, isNumber := l.plain(text); isNumber && unit != "" {
					text += " " + unit
				} else if isNumber && looksLikeRateOrTime(v.next) {
					text += " " + v.next
				}
				if x, named, ok := l.duration(text, rate); ok {
					return stated{x, v.line, v.column, v.text, named}
				}
			}
		}
	}
	return s
}

// cutKey splits "Sample interval: 4 ns" in one cell.
func cutKey(cell string) (key, value string) {
	if i := strings.IndexAny(cell, ":="); i >= 0 {
		return quantity.Trim(cell[:i]), quantity.Trim(cell[i+1:])
	}
	return cell, ""
}

// intervalName recognises what instruments call the interval or the rate.
func intervalName(name string) (rate, ok bool) {
	switch strings.ReplaceAll(strings.Trim(name, "#%: "), " ", "") {
	case "sampleinterval", "samplinginterval", "sampleperiod", "samplingperiod", "sampletime", "samplingtime",
		"increment", "xincrement", "xincr", "timeincrement", "tincrement", "timestep", "tstep", "dt", "deltat", "δt",
		"interval", "timepersample", "timeperpoint", "secondspersample", "secondsperpoint", "timeinterval", "horizontalinterval":
		return false, true
	case "samplerate", "samplingrate", "samplefrequency", "samplingfrequency", "samplespersecond", "fs":
		return true, true
	}
	return false, false
}

// neighbour is a cell that may hold the value of a setting.
type neighbour struct {
	text, next   string
	line, column int
}

// beside returns the cell behind a name and the one below it.
func (l *layout) beside(i, j int, inline string) (list []neighbour) {
	row := l.head[i]
	if inline != "" {
		return []neighbour{{inline, "", i + 1, j + 1}}
	}
	add := func(i, j int) {
		if i < len(l.head) && j < len(l.head[i]) && l.head[i][j] != "" {
			n := neighbour{text: l.head[i][j], line: i + 1, column: j + 1}
			if j+1 < len(l.head[i]) {
				n.next = l.head[i][j+1]
			}
			list = append(list, n)
		}
	}
	k := j + 1
	for k < len(row) && row[k] == "" {
		k++
	}
	add(i, k)
	add(i+1, j)
	return list
}

func (l *layout) plain(text string) (float64, bool) {
	q, err := quantity.Form{Mark: l.mark}.Parse(text)
	return q.Value, err == nil
}

func looksLikeRateOrTime(unit string) bool {
	_, ok := timeUnit(unit)
	return ok || rateUnit(unit) != unit || strings.HasSuffix(strings.ToLower(unit), "hz")
}

// rateUnit turns samples per second (MSa/s, MS/s, Msps) into MHz.
func rateUnit(text string) string {
	s := quantity.Trim(text)
	for _, tail := range []string{"Sa/s", "sa/s", "SPS", "Sps", "sps", "S/s"} {
		if cut, ok := strings.CutSuffix(s, tail); ok {
			return cut + "Hz"
		}
	}
	return s
}

// duration reads an interval, or a rate as one over it. named tells whether
// its unit was given; a bare number is taken for seconds or 1/s.
func (l *layout) duration(text string, rate bool) (seconds float64, named, ok bool) {
	if x, bare := l.plain(text); bare {
		if rate {
			x = 1 / x
		}
		return x, false, x > 0 && !math.IsInf(x, 0)
	}
	form := quantity.Form{Dimension: quantity.Time, Mark: l.mark}
	if rate {
		form.Dimension = quantity.Frequency
		text = rateUnit(text)
	} else if i := strings.LastIndexByte(text, ' '); i >= 0 {
		if size, isTime := timeUnit(text[i:]); isTime {
			if x, bare := l.plain(text[:i]); bare {
				return x * size, true, x > 0
			}
		}
	}
	q, err := form.Parse(text)
	x := q.Value
	if rate {
		x = 1 / x
	}
	return x, true, err == nil && x > 0 && !math.IsInf(x, 0)
}
