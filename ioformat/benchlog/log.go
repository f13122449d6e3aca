package benchlog

import (
	"encoding/hex"
	"hash"
	"io"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// Options is what the reader is told beside the log.
type Options struct {
	// Tolerance of parts for which the log states none, relative; 0 stands
	// for DefaultTolerance.
	Tolerance float64
	// Exact takes parts without a stated tolerance as exact; Tolerance is
	// then ignored.
	Exact bool
	// Share says of all parts how much of their tolerances they have in common, where
	// no word beside a tolerance says it.
	Share Share
	// Parts gives values known from elsewhere, by the part's name ("spike")
	// or its nominal value with unit ("4.7 pF").
	Parts map[string]PartValue
	// Each keeps every reading, however many there are.
	Each bool
	// Digest, unless it is nil, is what SHA256 of the log is worked out with.
	Digest hash.Hash
	// Blank takes a log that has no reading below its header yet.
	Blank bool
	// Robust has means of many readings that a misread one doesn't move.
	Robust bool
}

// PartValue is the capacitance of a part and its standard uncertainty, in F.
type PartValue struct {
	Capacitance, Uncertainty float64
	Share                    Share
}

// Log is a bench log in SI.
type Log struct {
	readings.Log
	Notices []string // what the maker should know on how the log was read
	// Warnings are those Notices that tell what was assumed or left out: they
	// belong into every answer drawn from the log.
	Warnings []string
	SHA256   string   // of the bytes read, in hexadecimal digits; "" without Options.Digest
	Comments []string // those above the header, without #

	said  []string // the rows as they were written, as long as each is kept
	bench *bench
	clock clock
	unit  quantity.Unit
}

// Unit returns the unit that the header names for frequencies; MHz without one.
func (l *Log) Unit() string {
	if l.unit == (quantity.Unit{}) {
		return "MHz"
	}
	return l.unit.Symbol
}

// Read reads a bench log; name is what messages call it. The error is a
// [cells.Faults] when the log is at fault, else what r failed with.
//
// It goes through r once and keeps no more of it than the result holds: beyond
// some thousand readings that is one for each state, the mean (see readings.Pool),
// unless opt asks for each.
// Readings in the same state share one slice of Parts: don't write to it.
func Read(r io.Reader, name string, opt Options) (*Log, error) {
	if opt.Digest != nil {
		r = io.TeeReader(r, opt.Digest)
	}
	rd, err := read(r, name, opt)
	if err != nil {
		return nil, err
	}
	l := rd.log
	rd.settle()
	if len(l.Readings) == 0 && !opt.Blank {
		rd.Faults.Add(cells.Fault{File: name, Problem: "there is no reading below the header", Expected: "one row for each reading"})
		return nil, rd.Err()
	}
	l.Parts = l.bench.parts.finish()
	if opt.Digest != nil {
		l.SHA256 = hex.EncodeToString(opt.Digest.Sum(nil))
	}
	if l.clock = rd.clock; rd.has(taken) {
		l.clock.per, _ = rd.perHour()
	}
	l.unit = rd.form[frequency].Unit
	rd.tell()
	l.Notices, l.Warnings = l.bench.notices.lines()
	return l, nil
}

// read reads a log that may have no reading yet.
func read(r io.Reader, name string, opt Options) (*reader, error) {
	t, err := cells.NewTable(r, name)
	if err != nil {
		return nil, err
	}
	n := &notices{file: name}
	l := &Log{bench: &bench{parts: newParts(opt, n), cores: newNames(), notices: n}, Comments: t.Head()}
	rd := &reader{columns: findColumns(t), bench: l.bench, log: l, each: opt.Each, robust: opt.Robust, qualities: map[string]readQuality{}}
	if rd.at[frequency] < 0 && rd.foreign() {
		return nil, t.Err()
	}
	rd.place()
	if rd.at[frequency] < 0 {
		return nil, rd.noFrequency()
	}
	rd.splits = newSplits(rd.columns)
	l.bench.cores.mark = rd.coreMark
	l.bench.rows(rd.columns, rd.row)
	rd.splits.report()
	return rd, t.Err()
}
