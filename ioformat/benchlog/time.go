package benchlog

import (
	"math"
	"strconv"
	"strings"
	"time"

	"fitcoil/ioformat/cells"
)

// clock reads when readings were taken, in one of three ways.
type clock struct {
	way   way
	rows  int     // read so far
	last  float64 // h
	first string  // day of the first, of those with the date
	per   float64 // how many of the unit of numbers make an hour; 0 without a column
}

type way int

const (
	byNumber way = iota + 1 // minutes
	byClock                 // hh:mm or hh:mm:ss
	byDate                  // with the date, ISO 8601
)

const timeForms = "hh:mm, a number of minutes, or a date and time as 2026-01-31T14:05"

// time returns when the current row's reading was taken [h]: its number where nobody noted
// that.
func (rd *reader) time() (hours float64, ok bool) {
	k := &rd.clock
	k.rows++
	if !rd.has(taken) {
		return float64(k.rows), true
	}
	text := rd.text(taken)
	report := func(expected, do string) (float64, bool) { return 0, rd.refuse(taken, text, expected, do) }
	if blank(text) {
		return report("a time in each row, or in none", "write when it was read, or leave the column out")
	}
	per, known := rd.perHour()
	if !known {
		return report(timeForms, "write time [min], [h] or [s] as its header")
	}
	hours, way, ok := k.read(text, per)
	switch {
	case !ok:
		return report(timeForms, "call the column something else if it holds anything else")
	case k.way != 0 && way != k.way:
		return report("the time written as in the rows above", "write all in one way")
	case way == byClock && k.way != 0:
		for hours < k.last-12 { // past midnight
			hours += 24
		}
	}
	if way == byDate && k.way == 0 {
		k.first = text[:len(time.DateOnly)]
	}
	k.way, k.last = way, hours
	return hours, true
}

// perHour returns how many of the unit in the header make an hour; minutes without one.
func (rd *reader) perHour() (n float64, known bool) {
	_, unit := cells.SplitUnit(rd.Header[rd.at[taken]])
	switch strings.ToLower(unit) {
	case "", "min", "minutes", "hh:mm", "iso":
		return 60, true
	case "h", "hours":
		return 1, true
	case "s", "seconds":
		return 3600, true
	}
	return 0, false
}

// read reads a time in hours, of which a number has per.
func (k *clock) read(text string, per float64) (hours float64, way way, ok bool) {
	if strings.Trim(text, "0123456789.") == "" {
		v, err := strconv.ParseFloat(text, 64)
		return v / per, byNumber, err == nil && v < 1e9
	}
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			return float64(t.Hour()) + float64(t.Minute())/60 + float64(t.Second())/3600, byClock, true
		}
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		if t, err := time.Parse(layout, text); err == nil {
			return float64(t.Unix()) / 3600, byDate, true
		}
	}
	return 0, 0, false
}

// Date returns the day on which the log says that it was taken, as 2006-01-02: that of its column
// time, or else one in the comments above the header. It is "" for a log that says none.
func (l *Log) Date() string {
	if l.clock.way == byDate && l.clock.first != "" {
		return l.clock.first
	}
	for _, comment := range l.Comments {
		for i := 0; i+len(time.DateOnly) <= len(comment); i++ {
			if day, err := time.Parse(time.DateOnly, comment[i:i+len(time.DateOnly)]); err == nil {
				return day.Format(time.DateOnly)
			}
		}
	}
	return ""
}

// Time returns what to write into the column time of a reading taken now, in the way of
// the rows above: the time of day, or a number that goes on from the last one by what
// has passed since. It is "" for a log without that column.
func (l *Log) Time(now time.Time, passed time.Duration) string {
	switch k := l.clock; {
	case k.per == 0:
		return ""
	case k.way == byClock:
		return now.Format("15:04")
	case k.way == byDate:
		return now.Format("2006-01-02T15:04")
	default:
		return strconv.FormatFloat(math.Floor((k.last+passed.Hours())*k.per+1e-9), 'f', -1, 64)
	}
}
