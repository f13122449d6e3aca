package waveform

import (
	"math"
	"math/big"
	"strings"

	"fitcoil/ioformat/quantity"
)

// Times that count from long ago, 1 700 000 000.000 000 004 s, have more
// digits than a double holds: they are read as what they are beyond the first.

// mostSignificant is the number of digits that a double holds for sure.
const mostSignificant = 15

// significant counts the digits of a number before an exponent.
func significant(text string) (n int) {
	for _, c := range text {
		switch {
		case c >= '0' && c <= '9':
			n++
		case c == 'e' || c == 'E':
			return n
		}
	}
	return n
}

// exactNumber reads a decimal number without rounding that matters.
func exactNumber(text string, mark quantity.Mark) (*big.Float, bool) {
	const bits = 256
	if mark == quantity.Comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	if len(text) > 100 || strings.ContainsAny(text, "xXpPbBoO_iInN") {
		return nil, false
	}
	if e := strings.IndexAny(text, "eE"); e >= 0 && len(text)-e > 5 {
		return nil, false
	}
	x, _, err := big.ParseFloat(quantity.Trim(text), 10, bits, big.ToNearestEven)
	return x, err == nil
}

// beyond returns how far text is beyond the origin.
func beyond(text string, mark quantity.Mark, origin *big.Float) (float64, bool) {
	x, ok := exactNumber(text, mark)
	if !ok {
		return 0, false
	}
	d, _ := x.Sub(x, origin).Float64()
	return d, !math.IsInf(d, 0)
}

// setOrigin makes the first time the origin where the times are so long.
func (rd *reader) setOrigin() {
	if rd.time < 0 || rd.index {
		return
	}
	for _, row := range rd.head[rd.first:] {
		if rd.time < len(row) && significant(row[rd.time]) > mostSignificant {
			if x, ok := exactNumber(rd.cell(rd.first, rd.time), rd.mark); ok {
				if size, _ := x.Float64(); math.Abs(size) >= longAgo {
					rd.origin = x
				}
			}
			return
		}
	}
}

// longAgo is a number of seconds, or of smaller units, that no capture lasts.
const longAgo = 1e6

// roundedAway tells whether the times come in the steps in which doubles of
// their size are spaced, though they are written with more digits.
func (rd *reader) roundedAway() bool {
	if rd.origin == nil || rd.countsUp(rd.time) {
		return false
	}
	spacing := rd.originSpacing()
	_, decimals, _ := strings.Cut(rd.cell(rd.first, rd.time), string(rune(rd.mark)))
	return math.Pow10(-len(decimals)) < spacing && rd.firstStep() < 8*spacing
}

// originSpacing is that of doubles at the origin.
func (rd *reader) originSpacing() float64 {
	at, _ := rd.origin.Float64()
	return math.Nextafter(math.Abs(at), math.Inf(1)) - math.Abs(at)
}

// firstStep is the mean step of the first times, in their unit.
func (rd *reader) firstStep() float64 {
	v := rd.values(rd.time)
	if len(v) < 2 {
		return math.NaN()
	}
	return (v[len(v)-1] - v[0]) / float64(len(v)-1)
}
