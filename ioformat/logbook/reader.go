package logbook

import (
	"bytes"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Reader returns what reads the log called name for a fit: with what opt says of parts, the values
// of known, and what a sheet says of the coil, unless it is nil. A session that is given
// says how to fit.
func Reader(name string, opt benchlog.Options, known []quantities.Known, sheet *coilsheet.Sheet, how estimation.Session) func(content []byte) (*benchlog.Log, estimation.Session, error) {
	opt.Blank = true
	if sheet != nil {
		opt.Parts = sheet.PartsBeside(opt.Parts)
	}
	return func(content []byte) (*benchlog.Log, estimation.Session, error) {
		log, err := benchlog.Read(bytes.NewReader(content), name, opt)
		if err != nil {
			return nil, estimation.Session{}, err
		}
		s := how
		s.Log = log.Log
		for _, k := range known {
			k.Core = log.Core(k.Core)
			s.Known = append(s.Known, k)
		}
		if sheet != nil && len(log.Readings) > 0 {
			err = sheet.Tell(&s)
		}
		return log, s, err
	}
}
