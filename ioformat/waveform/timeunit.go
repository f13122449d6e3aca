package waveform

import (
	"cmp"
	"fmt"
	"math"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// timeUnits are the units in which times and rates are written without saying so.
var timeUnits = [...]struct {
	size       float64 // s
	name, rate string
}{{1, "s", "Sa/s"}, {1e-3, "ms", "kSa/s"}, {1e-6, "µs", "MSa/s"}, {1e-9, "ns", "GSa/s"}}

// mustBeSeconds is the interval in an unnamed unit below which only seconds
// make sense: in ms it would be more than ten samples in a nanosecond, which
// scopes on a bench don't take (common practice).
const mustBeSeconds = 1e-7

// slowest is the longest interval between samples that makes sense, in s.
const slowest = 1

// readings lists what x could mean in the units that make sense, in words, and
// the same as intervals to be given.
func readings(x float64, rate bool) (words, flags string) {
	var w, f []string
	for _, u := range timeUnits {
		if t := x * u.size; t >= mustBeSeconds*1e-3 && t <= slowest {
			in := " ("
			if len(w) == 0 {
				in = " (samples every "
			}
			name := u.name
			if rate {
				name = u.rate
			}
			w = append(w, name+in+inWords(t)+")")
			f = append(f, "--interval "+spell(t))
		}
	}
	if len(w) == 0 {
		return "a unit that is not named", "--interval with the time between samples"
	}
	return quantity.Listed(w, "or"), quantity.Listed(f, "or")
}

// setTimeUnit settles the unit of the times: the header names it, or the
// settings, or it follows from an interval.
func (rd *reader) setTimeUnit() *cells.Fault {
	line, axis, hasAxis := horizontalUnit(rd.settingList)
	size, known := timeUnit(axis.text)
	written := rd.unitOf(rd.time)
	if !math.IsNaN(rd.seconds) {
		if hasAxis && known && size != rd.seconds && rd.stated.line == 0 {
			return &cells.Fault{Line: axis.line, Column: axis.column,
				Problem:  fmt.Sprintf("the times are in %s by their header, in %s by %s", written, axis.text, quantity.Quote(line.text)),
				Expected: "one unit", Do: "correct the one that is wrong"}
		}
		return nil
	}
	if written != "" && written != "-" {
		return &cells.Fault{Line: rd.first + 1, Column: rd.time + 1, Header: rd.names[rd.time],
			Problem:  "the times have the unit " + quantity.Quote(written),
			Expected: "a unit of time (h, min, s, ms, µs, ns, ps)", Do: "correct the header"}
	}
	if known {
		rd.seconds = size
		return nil
	}
	return rd.guessTimeUnit()
}

// guessTimeUnit finds the unit of times from an interval in a unit, or from
// the size of the steps.
func (rd *reader) guessTimeUnit() *cells.Fault {
	step := rd.firstStep()
	reference := rd.opt.Interval
	if reference == 0 && rd.stated.named {
		reference = rd.stated.interval
	}
	for _, u := range timeUnits {
		if reference > 0 && math.Abs(step*u.size-reference) < 0.1*reference {
			rd.seconds = u.size
			if rd.opt.Interval > 0 && rd.stated.line == 0 && u.size != 1 {
				rd.assumed("the times name no unit: taken as %s by the interval given", u.name)
			}
			return nil
		}
	}
	words, flags := readings(step, false)
	f := &cells.Fault{Line: rd.first + 1, Column: rd.time + 1}
	switch {
	case reference > 0 && rd.opt.Interval > 0:
		f.Problem = fmt.Sprintf("the times go in steps of %s, and the interval given is %s", quantity.Digits(step, 4), inWords(reference))
		f.Expected = "an interval of " + words
		f.Do = "give " + flags
	case reference > 0:
		f.Problem = fmt.Sprintf("the times go in steps of %s, and the file states %s", quantity.Digits(step, 4), rd.stated.describe())
		f.Expected = "steps that are this interval in some unit"
		f.Do = "delete what is wrong, or save the capture again"
	case step < mustBeSeconds:
		rd.seconds = 1
		rd.assumed("the times name no unit: taken as seconds")
		return nil
	default:
		f.Problem = fmt.Sprintf("the times go in steps of %s and name no unit", quantity.Digits(step, 4))
		f.Expected = "times in " + words
		f.Do = "write the unit that is meant into the header, as in " + rd.timeHeader(step) + ", or give " + flags
	}
	return f
}

// timeHeader is the header of the times with the largest unit that makes sense.
func (rd *reader) timeHeader(step float64) string {
	unit := "ns"
	for _, u := range timeUnits {
		if step*u.size <= slowest {
			unit = u.name
			break
		}
	}
	return cmp.Or(rd.names[rd.time], "time") + " [" + unit + "]"
}
