package waveform

import (
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// stated is a sample interval that the settings give.
type stated struct {
	interval float64 // s
	digit    float64 // worth of its last digit over itself
	line     int     // 0: none is stated
	column   int     // of the value, from 1
	name     string  // as written
	text     string
	named    bool // the unit is named
	rate     bool
	doubtful bool // the name is given to cursors and durations as well
}

// describe says where an interval is stated.
func (s stated) describe() string {
	return fmt.Sprintf("%s in line %d (%s)", quantity.Quote(s.name+" "+s.text), s.line, inWords(s.interval))
}

// inWords writes a time with its unit, without zeros at its end.
func inWords(seconds float64) string {
	v := quantity.FormatValue(seconds, 10, "s").String()
	number, unit, _ := strings.Cut(v, " ")
	if strings.Contains(number, ".") {
		number = strings.TrimRight(strings.TrimRight(number, "0"), ".")
	}
	return number + " " + unit
}

// spell writes a time as --interval takes it.
func spell(seconds float64) string {
	return strings.NewReplacer(" ", "", "µ", "u").Replace(inWords(seconds))
}

// intervals lists the sample intervals and rates among the settings.
func (l *layout) intervals(list []setting) (found []stated) {
	paired := false // with where the record begins: then "delta t" is no cursor
	for _, s := range list {
		switch s.name {
		case "t0", "x0", "xzero", "xorigin", "start", "starttime":
			paired = true
		}
	}
	_, unit, _ := horizontalUnit(list)
	for _, s := range list {
		kind := intervalName(s.name)
		if kind == noInterval {
			continue
		}
		for _, v := range s.values() {
			x, ok := l.statement(s, v, unit.text, kind == isRate)
			if !ok {
				continue
			}
			x.doubtful = kind == mayBeInterval && !paired
			found = append(found, x)
			break
		}
	}
	return found
}

// statement reads one value of an interval or a rate. Its unit stands in the
// same cell, in the name, in the next cell, or is the one of the axis.
func (l *layout) statement(s setting, v neighbour, axis string, rate bool) (x stated, ok bool) {
	text := v.text
	size, isTime := timeUnit(axis)
	if _, isNumber := l.plain(text); isNumber {
		switch {
		case s.unit != "":
			text += " " + s.unit
		case looksLikeRateOrTime(v.next):
			text += " " + v.next
		case isTime && !rate:
			text += " " + axis
		case isTime && size == 1:
			text += " Hz"
		}
	}
	x = stated{line: v.line, column: v.column, name: s.text, text: v.text, rate: rate}
	x.interval, x.digit, x.named, ok = l.duration(text, rate)
	return x, ok
}

type intervalKind int

const (
	noInterval intervalKind = iota
	isInterval
	mayBeInterval // cursors and durations are called the same
	isRate
)

// intervalName recognises what instruments call the interval or the rate.
func intervalName(name string) intervalKind {
	switch name {
	case "sampleinterval", "samplinginterval", "sampleperiod", "samplingperiod", "samplespacing",
		"increment", "xincrement", "xincr", "xinc", "timeincrement", "tincrement", "timestep", "tstep", "timepersample",
		"timeperpoint", "secondspersample", "secondsperpoint", "timebetweensamples", "samplestep":
		return isInterval
	case "sampletime", "samplingtime", "dt", "deltat", "delta", "δt", "∆t", "interval", "timeinterval", "horizontalinterval",
		"timeresolution", "horizontalresolution", "clock", "dx", "deltax", "δx", "∆x":
		return mayBeInterval
	case "samplerate", "samplingrate", "samplefrequency", "samplingfrequency", "samplespersecond", "fs":
		return isRate
	}
	return noInterval
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

// duration reads an interval, or a rate as one over it, with the share of it
// that its last digit is worth. named tells whether its unit was given; a bare
// number is taken for seconds or 1/s.
func (l *layout) duration(text string, rate bool) (seconds, digit float64, named, ok bool) {
	form := quantity.Form{Mark: l.mark}
	size, named := 1.0, true
	q, err := form.Parse(text)
	switch {
	case err == nil:
		named = false
	case rate:
		form.Dimension = quantity.Frequency
		q, err = form.Parse(rateUnit(text))
	default:
		if i := strings.LastIndexByte(text, ' '); i >= 0 {
			if unit, isTime := timeUnit(text[i:]); isTime {
				size, text = unit, text[:i]
				q, err = form.Parse(text)
				break
			}
		}
		form.Dimension = quantity.Time
		q, err = form.Parse(text)
	}
	x := q.Value * size
	if rate {
		x = 1 / x
	}
	return x, q.LastDigit / math.Abs(q.Value), named, err == nil && x > 0 && !math.IsInf(x, 0)
}

// sameInterval is the relative difference below which two intervals are the
// same, beyond what their digits leave open.
const sameInterval = 1e-3

// rounding is the relative difference that the digits of a stated interval
// leave open. Those of one or two digits are mostly exact, not rounded.
func (s stated) rounding() float64 {
	const most = 0.02
	return math.Min(s.digit/2, most)
}

func (s stated) agrees(t stated) bool {
	return math.Abs(s.interval/t.interval-1) <= sameInterval+s.rounding()+t.rounding()
}

// settleStated chooses among the statements the one with most digits, those
// with a unit first. Two that contradict each other are a fault.
func settleStated(found []stated) (best stated, fault *cells.Fault) {
	for _, s := range found {
		if s.doubtful {
			continue
		}
		if best.line > 0 && best.named && s.named && !best.agrees(s) {
			return best, &cells.Fault{Line: s.line, Column: s.column,
				Problem:  "the file states two sample intervals: " + best.describe() + ", and " + s.describe(),
				Expected: "one", Do: "delete the line that is wrong, or save the capture again"}
		}
		if best.line == 0 || !best.named && s.named || best.named == s.named && s.digit < best.digit {
			best = s
		}
	}
	return best, nil
}

// setInterval settles where the interval comes from.
func (rd *reader) setInterval() *cells.Fault {
	given := rd.opt.Interval
	if given < 0 || math.IsNaN(given) || math.IsInf(given, 0) {
		return &cells.Fault{Problem: fmt.Sprintf("the sample interval is given as %s s", quantity.Digits(given, -1)), Expected: "a time above 0"}
	}
	found := rd.intervals(rd.settingList)
	best, fault := settleStated(found)
	if fault != nil {
		return fault
	}
	rd.stated = best
	if fault := rd.givenAgainstStated(); fault != nil {
		return fault
	}
	if fault := rd.dropTimes(given); fault != nil {
		return fault
	}
	if rd.time >= 0 && !rd.index {
		rd.clock.given = given
		return rd.setTimeUnit()
	}
	rd.clock.byIndex = true
	rd.seconds = 1
	switch {
	case given > 0:
		rd.clock.given = given
	case best.line == 0:
		rd.unknown = &cells.Fault{Line: rd.first + 1, Problem: "the file has neither a column of times nor a sample interval"}
		for _, s := range found {
			rd.unknown = s.doubt()
		}
	case !best.named && best.interval >= mustBeSeconds:
		words, flags := readings(best.interval, best.rate)
		what := "a sample interval"
		if best.rate {
			what = "a rate"
		}
		return &cells.Fault{Line: best.line, Column: best.column, Problem: "read " + quantity.Quote(best.text) + " without a unit",
			Expected: what + " in " + words, Do: "give the one that is meant: " + flags}
	default:
		rd.clock.given = best.interval
		if !best.named {
			rd.assumed("the sample interval %s in line %d names no unit: taken as seconds", quantity.Quote(best.text), best.line)
		}
	}
	return nil
}

// dropTimes counts the rows where the times tell nothing and the interval is
// known otherwise.
func (rd *reader) dropTimes(given float64) *cells.Fault {
	if rd.time < 0 || rd.index || !rd.roundedAway() {
		return nil
	}
	interval, from := given, "as given"
	if given == 0 && rd.stated.named {
		interval, from = rd.stated.interval, "as stated"
	}
	if interval > 0 {
		rd.assumed("the times as they are written can't tell the samples apart: the rows were counted, %s apart %s", inWords(interval), from)
		rd.time = -1
		return nil
	}
	at, _ := rd.origin.Float64()
	return &cells.Fault{Line: rd.first + 1, Column: rd.time + 1, Header: rd.names[rd.time],
		Problem:  fmt.Sprintf("the times count from long ago (%s) and were rounded to steps of %s", quantity.Digits(at, 4), quantity.Digits(rd.originSpacing(), 2)),
		Expected: "times that tell the samples apart",
		Do:       "save them relative to the trigger, or give the time between samples with --interval: the rows are counted then"}
}

// doubt refuses to take for the interval what may be something else.
func (s stated) doubt() *cells.Fault {
	f := &cells.Fault{Line: s.line, Column: s.column,
		Problem:  quantity.Quote(s.name+" "+s.text) + " may be the time between samples, or that between two cursors or the length of something",
		Expected: "a column of times, or a sample interval that is called so",
		Do:       "if it is the time between samples, give --interval " + spell(s.interval)}
	if !s.named && s.interval >= mustBeSeconds {
		_, flags := readings(s.interval, s.rate)
		f.Do = "if it is the time between samples, give it with its unit: " + flags
	}
	return f
}

// givenAgainstStated holds the interval by the caller against the one that the
// file states. A number without a unit may be in any.
func (rd *reader) givenAgainstStated() *cells.Fault {
	given, s := rd.opt.Interval, rd.stated
	if given == 0 || s.line == 0 {
		return nil
	}
	for _, u := range timeUnits {
		if (u.size == 1 || !s.named) && s.agrees(stated{interval: given / u.size}) {
			return nil
		}
	}
	return &cells.Fault{Line: s.line, Column: s.column,
		Problem:  "the sample interval given, " + inWords(given) + ", contradicts the file: " + s.describe(),
		Expected: "one interval", Do: "leave --interval out, or correct the file where it is wrong"}
}
