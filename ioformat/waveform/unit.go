package waveform

import (
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// sizes has the names of units by dimension, without the s of more than one, and their sizes in SI.
var sizes = map[quantity.Dimension]map[string]float64{
	quantity.Time: {
		"second": 1, "sec": 1, "sekunde": 1, "seconde": 1, "segundo": 1,
		"millisecond": 1e-3, "msec": 1e-3,
		"microsecond": 1e-6, "usec": 1e-6, "µsec": 1e-6, "μsec": 1e-6,
		"nanosecond": 1e-9, "nsec": 1e-9,
		"picosecond": 1e-12, "psec": 1e-12,
		"min": 60, "minute": 60,
		"h": 3600, "hour": 3600, "hr": 3600,
	},
	quantity.Voltage:   {"volt": 1, "millivolt": 1e-3, "microvolt": 1e-6},
	quantity.Frequency: {"hertz": 1},
}

// sizeOfUnit returns the size in SI of a unit of dimension d, by name or by symbol. A prefix
// alone names a channel as often as a unit, and is none.
func sizeOfUnit(text string, d quantity.Dimension) (size float64, ok bool) {
	s := strings.ToLower(quantity.Trim(text))
	if size, ok := sizes[d][strings.TrimSuffix(s, "s")]; ok {
		return size, true
	}
	u, err := quantity.ParseUnit(text, d)
	if err != nil || s == "" || !strings.HasSuffix(s, strings.ToLower(d.Base())) {
		return math.NaN(), false
	}
	return u.ToSI(1), true
}

// timeUnit returns the size in s of a unit of time.
func timeUnit(text string) (seconds float64, ok bool) { return sizeOfUnit(text, quantity.Time) }

// voltageUnit returns the size in V of a unit of voltage. Peak, peak-to-peak and effective values
// are volts of their own kind.
func voltageUnit(text string) (volts float64, ok bool) { return sizeOfUnit(text, quantity.Voltage) }

// frequencyUnit returns the size in Hz of a unit of frequency.
func frequencyUnit(text string) (hertz float64, ok bool) {
	return sizeOfUnit(text, quantity.Frequency)
}

// measured tells whether u is a unit of time, voltage or frequency.
func measured(u string) bool {
	return slices.ContainsFunc([]quantity.Dimension{quantity.Time, quantity.Voltage, quantity.Frequency}, func(d quantity.Dimension) bool {
		_, ok := sizeOfUnit(u, d)
		return ok
	})
}

// splitHeader splits the header of a column into a name in lower case and the
// unit: as [cells.SplitUnit], and "time in µs".
func splitHeader(header string) (name, unit string) {
	name, unit = cells.SplitUnit(header)
	if i := strings.LastIndex(header, "in "); unit == "" && i >= 0 && (i == 0 || header[i-1] == ' ') {
		u := quantity.Trim(header[i+3:])
		if isUnit(u) {
			name, _ = cells.SplitUnit(header[:i])
			return name, u
		}
	}
	if i := strings.LastIndexByte(header, ' '); unit == "" && i > 0 && !endsInNumber(header[:i]) { // "f MHz"
		u := header[i+1:]
		if len(u) > 1 && measured(u) || u == "s" || u == "V" {
			name, _ = cells.SplitUnit(header[:i])
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
	switch u {
	case "A", "W", "dB", "dBm", "dBV", "Vpp", "mVpp", "Vrms", "mVrms", "°", "deg", "rad", "%":
		return true
	}
	return measured(u) || quantity.LooksLikeUnit(u)
}
