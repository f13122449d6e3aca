package waveform

import (
	"math"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// secondsIn has the names of units of time, without the s of more than one.
var secondsIn = map[string]float64{
	"second": 1, "sec": 1, "sekunde": 1, "seconde": 1, "segundo": 1,
	"millisecond": 1e-3, "msec": 1e-3,
	"microsecond": 1e-6, "usec": 1e-6, "µsec": 1e-6, "μsec": 1e-6,
	"nanosecond": 1e-9, "nsec": 1e-9,
	"picosecond": 1e-12, "psec": 1e-12,
	"min": 60, "minute": 60,
	"h": 3600, "hour": 3600, "hr": 3600,
}

// timeUnit returns the size in s of a unit of time, by symbol or name.
func timeUnit(text string) (seconds float64, ok bool) {
	s := strings.ToLower(quantity.Trim(text))
	if s == "u" { // a prefix alone names a channel as often as a unit
		return math.NaN(), false
	}
	if seconds, ok := secondsIn[strings.TrimSuffix(s, "s")]; ok {
		return seconds, true
	}
	u, err := quantity.ParseUnit(text, quantity.Time)
	if err != nil || quantity.Trim(text) == "" || strings.EqualFold(quantity.Trim(text), u.Symbol[:len(u.Symbol)-1]) {
		return math.NaN(), false
	}
	return u.ToSI(1), true
}

// voltageUnit returns the size in V of a unit of voltage, by symbol or name.
// Peak, peak-to-peak and effective values are volts of their own kind.
func voltageUnit(text string) (volts float64, ok bool) {
	s := strings.ToLower(quantity.Trim(text))
	switch strings.TrimSuffix(s, "s") {
	case "volt":
		return 1, true
	case "millivolt":
		return 1e-3, true
	case "microvolt":
		return 1e-6, true
	}
	u, err := quantity.ParseUnit(text, quantity.Voltage)
	if err != nil || s == "" || !strings.HasSuffix(s, "v") {
		return math.NaN(), false
	}
	return u.ToSI(1), true
}

// frequencyUnit returns the size in Hz of a unit of frequency.
func frequencyUnit(text string) (hertz float64, ok bool) {
	s := quantity.Trim(text)
	if strings.EqualFold(s, "hertz") {
		return 1, true
	}
	u, err := quantity.ParseUnit(s, quantity.Frequency)
	if err != nil || !strings.HasSuffix(strings.ToLower(s), "hz") {
		return math.NaN(), false
	}
	return u.ToSI(1), true
}

// splitHeader splits the header of a column into a name in lower case and the
// unit: as [cells.SplitUnit], and "time in µs".
func splitHeader(header string) (name, unit string) {
	name, unit, _ = cells.SplitUnit(header)
	if i := strings.LastIndex(header, "in "); unit == "" && i >= 0 && (i == 0 || header[i-1] == ' ') {
		u := quantity.Trim(header[i+3:])
		if isUnit(u) {
			name, _, _ = cells.SplitUnit(header[:i])
			return name, u
		}
	}
	if i := strings.LastIndexByte(header, ' '); unit == "" && i > 0 && !endsInNumber(header[:i]) { // "f MHz"
		u := header[i+1:]
		_, time := timeUnit(u)
		_, volts := voltageUnit(u)
		if _, hertz := frequencyUnit(u); len(u) > 1 && (time || volts || hertz) || u == "s" || u == "V" {
			name, _, _ = cells.SplitUnit(header[:i])
			return name, u
		}
	}
	return name, unit
}

// endsInNumber tells a setting, "interval: 4 us", from a header.
func endsInNumber(text string) bool {
	words := strings.Fields(text)
	return len(words) > 0 && strings.Trim(words[len(words)-1], "0123456789.,+-eE") == ""
}

func isUnit(u string) bool {
	if _, ok := timeUnit(u); ok {
		return true
	}
	if _, ok := voltageUnit(u); ok {
		return true
	}
	if _, ok := frequencyUnit(u); ok {
		return true
	}
	switch u {
	case "A", "W", "dB", "dBm", "dBV", "Vpp", "mVpp", "Vrms", "mVrms", "°", "deg", "rad", "%":
		return true
	}
	return quantity.LooksLikeUnit(u)
}
