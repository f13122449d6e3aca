package main

import (
	"errors"

	"fitcoil/ioformat/report"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

// swept finds the resonance in a sweep.
func swept(s *waveform.Sweep, set ringing.Settings) (k report.Swept, err error) {
	r, err := resonance.Fit(s.Points, resonance.Settings{Timebase: set.Timebase})
	if err != nil {
		return k, &captureError{s.Name, errors.New(report.SweepRefused(err))}
	}
	return report.Swept{Sweep: s, Result: r}, nil
}

// driven finds the resonance in captures of one steady tone each, where they
// are a sweep.
func driven(list []report.Captured, set ringing.Settings) []report.Swept {
	s, timebase, ok := report.DrivenSweep(list)
	if !ok {
		return nil
	}
	set.Timebase = timebase // with the one given in it
	k, err := swept(s, set)
	if err != nil {
		return nil // they stay what they are, a tone each
	}
	k.Captures = len(list)
	return []report.Swept{k}
}
