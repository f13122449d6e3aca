package waveform

import (
	"bytes"
	"slices"
)

// KindSize is how much of a file IsCapture wants to see.
const KindSize = headSize

// IsCapture tells from the beginning of a file whether it is meant to be a
// capture or the spectrum of one: a table of numbers with times, with a sample
// interval, or with voltages. A log and a sweep of the drive are none.
func IsCapture(start []byte) bool {
	rd := &reader{}
	_, text, err := decode(bytes.NewReader(start))
	if err != nil {
		return false
	}
	h := newHead(text, len(start) < headSize)
	table, ok := findTable(h)
	if !ok {
		return noTable(h).Line > 0 // one for which there is a remedy
	}
	rd.layout = table
	if rd.spectrum() != nil {
		return true
	}
	if sweep, _ := rd.frequencies(); sweep {
		return false
	}
	fault := rd.prepare()
	timed := len(rd.channels) > 0 && rd.time >= 0 // perhaps without a unit
	if timed || fault == nil && rd.stated.line > 0 || rd.hasTimes() || len(rd.intervals(rd.settingList)) > 0 {
		return true
	}
	if _, ok := verticalUnit(rd.settingList); ok {
		return true
	}
	return slices.ContainsFunc(rd.columnList(), func(i int) bool {
		_, ok := voltageUnit(rd.unitOf(i))
		return ok
	})
}
