package main

import (
	"errors"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

// records groups captures by their segment: in each the voltages of one
// record.
func records(list []*waveform.Capture) (groups [][]*waveform.Capture) {
	for i, w := range list {
		if i == 0 || w.Segment != list[i-1].Segment {
			groups = append(groups, nil)
		}
		last := len(groups) - 1
		groups[last] = append(groups[last], w)
	}
	return groups
}

// analyse analyses the voltages of a record and takes the one that rings.
func analyse(record []*waveform.Capture, set ringing.Settings) (k report.Captured, err error) {
	var channels []report.Channel
	var results []*ringing.Result
	for _, w := range record {
		r, err := ringing.Analyse(w.Signal, set)
		if err != nil {
			r, err = nil, errors.New(report.CaptureRefused(err))
		}
		channels = append(channels, report.Channel{Capture: w, Result: r, Err: err})
		results = append(results, r)
	}
	if len(record) == 1 && channels[0].Err != nil {
		return k, &captureError{channels[0].Capture.Name, channels[0].Err}
	}
	at, ok := ringing.Sole(results)
	if !ok {
		for _, r := range results {
			if r != nil {
				return k, severalTones(channels)
			}
		}
		return k, &captureError{record[0].Name, errors.New(report.NoChannel(channels))}
	}
	w := channels[at].Capture
	if len(record) > 1 {
		w.Notes = append(w.Notes, report.TookChannel(channels, at))
	}
	return report.Captured{Capture: w, Result: results[at]}, nil
}

func severalTones(list []report.Channel) error {
	w := list[0].Capture
	problem, do := report.ManyChannels(list)
	var faults cells.Faults
	faults.Add(cells.Fault{File: w.Name, Line: w.FirstLine, Problem: problem, Expected: "one", Do: do})
	return faults
}

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
