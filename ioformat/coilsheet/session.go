package coilsheet

import (
	"maps"

	"fitcoil/ioformat/benchlog"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// Tell brings what the sheet knows into a session: values by meter, and the drawing
// with its resonator where it is complete enough. The hands drawn are those of the
// session's log. The error says what of the drawing can't be.
func (s *Sheet) Tell(session *estimation.Session) (err error) {
	session.Known = append(session.Known, s.Meter...)
	if !s.WindingDiameter.Known || !s.WindingLength.Known {
		return nil
	}
	drawing := s.Drawing()
	if session.Ladder, err = drawing.Ladder(); err == nil && s.CanPredict() {
		session.Drawn, err = drawing.Predict(readings.Hands(session.Log)...)
	}
	return Worded(err)
}

// PartsBeside returns the values of parts that are given from elsewhere, and of the
// others those of the sheet.
func (s *Sheet) PartsBeside(given map[string]benchlog.PartValue) map[string]benchlog.PartValue {
	parts, taken := maps.Clone(given), map[string]bool{}
	for name := range given {
		taken[benchlog.PartKey(name)] = true
	}
	for name, value := range s.Parts {
		if !taken[benchlog.PartKey(name)] {
			parts[name] = value
		}
	}
	return parts
}
