package report

import (
	"fmt"
	"io"
	"math"

	"fitcoil/model/quantities"
	"fitcoil/model/ringing"
)

type jsonCaptures struct {
	Schema   int             `json:"schema"`
	Captures []jsonCapture   `json:"captures"`
	Sweeps   []jsonResonance `json:"sweeps,omitempty"`
}

type jsonCapture struct {
	Name           string       `json:"name"`
	Column         string       `json:"column"`
	Segment        int          `json:"segment,omitempty"`
	Samples        int          `json:"samples"`
	Interval       float64      `json:"interval"`
	IntervalUnit   string       `json:"interval_unit"`
	Kind           string       `json:"kind"`
	Resonance      jsonEstimate `json:"resonance_frequency"`
	Frequency      jsonEstimate `json:"crossing_frequency"`
	Quality        jsonEstimate `json:"quality_factor"`
	QualityAtLeast *float64     `json:"quality_factor_at_least,omitempty"`
	Damping        jsonEstimate `json:"damping"`
	Amplitude      jsonEstimate `json:"amplitude"`
	Offset         jsonEstimate `json:"offset"`
	NoiseRMS       *float64     `json:"noise_rms"`
	Modes          []jsonMode   `json:"modes"`
	Covariance     *jsonMatrix  `json:"modes_covariance,omitempty"`
	Tones          []jsonTone   `json:"tones"`
	Bursts         []jsonBurst  `json:"bursts"`
	Used           *float64     `json:"used_share"`
	LeftOut        []jsonLeft   `json:"left_out"`
	Warnings       []string     `json:"warnings"`
}

type jsonTone struct {
	Relation string `json:"relation"`
	Harmonic int    `json:"harmonic,omitempty"`
	jsonMode
}

type jsonMode struct {
	Frequency jsonEstimate `json:"frequency"`
	Quality   jsonEstimate `json:"quality_factor"`
	Amplitude jsonEstimate `json:"amplitude"`
}

// jsonMatrix is the covariance of named quantities.
type jsonMatrix struct {
	Names  []string    `json:"names"`
	Matrix [][]float64 `json:"matrix"`
}

type jsonBurst struct {
	Start     float64      `json:"start"`
	End       float64      `json:"end"`
	Unit      string       `json:"unit"`
	Cycles    float64      `json:"cycles"`
	Frequency jsonEstimate `json:"frequency"`
	Quality   jsonEstimate `json:"quality_factor"`
	LeftOut   bool         `json:"left_out"`
}

type jsonLeft struct {
	Start float64 `json:"start"`
	End   float64 `json:"end"`
	Unit  string  `json:"unit"`
	Why   string  `json:"why"`
}

// CaptureJSON writes the same as one JSON object, SI throughout.
func CaptureJSON(w io.Writer, list []Captured, sweeps []Swept) error {
	return writeJSON(w, jsonCaptures{Schema, each(list, captured), each(sweeps, sweptJSON)})
}

func captured(c *Captured) jsonCapture {
	r, unit := c.Result, c.Capture.Unit
	j := jsonCapture{Name: c.Capture.Name, Column: c.Capture.Column, Segment: c.Capture.Segment, Samples: len(c.Capture.Signal.Samples),
		Interval: c.Capture.Signal.Interval, IntervalUnit: "s", Kind: r.Kind.String(),
		Resonance: ring("resonance_frequency", r.Resonance, "Hz"), Frequency: ring("crossing_frequency", r.Frequency, "Hz"),
		Quality: ring("quality_factor", r.Quality, "1"), Damping: ring("damping", r.Damping, "1/s"),
		Amplitude: ring("amplitude", r.Amplitude, unit), Offset: ring("offset", r.Offset, unit),
		NoiseRMS: number(r.Noise.RMS), Used: number(r.Used), Warnings: append([]string{}, captureNotes(*c)...)}
	if r.QualityAtLeast > 0 {
		j.QualityAtLeast = number(r.QualityAtLeast)
	}
	j.Modes = each(r.Modes, func(m *ringing.Tone) jsonMode { return modeJSON(m.Natural, m, unit) })
	j.Tones = each(r.Tones, func(t *ringing.Tone) jsonTone {
		return jsonTone{t.Relation.String(), t.Harmonic, modeJSON(t.Frequency, t, unit)}
	})
	j.Bursts = each(r.Bursts, func(s *ringing.Burst) jsonBurst {
		return jsonBurst{s.Start, s.End, "s", s.Cycles,
			ring("frequency", s.Tone.Natural, "Hz"), ring("quality_factor", s.Tone.Quality, "1"), s.Apart}
	})
	j.LeftOut = each(r.Left, func(l *ringing.Left) jsonLeft { return jsonLeft{l.Start, l.End, "s", l.Why.String()} })
	if r.Covariance != nil {
		j.Covariance = &jsonMatrix{Matrix: r.Covariance}
		for i := range r.Modes {
			j.Covariance.Names = append(j.Covariance.Names, fmt.Sprintf("frequency_%d", i+1), fmt.Sprintf("quality_factor_%d", i+1))
		}
	}
	return j
}

func modeJSON(frequency quantities.Estimate, t *ringing.Tone, unit string) jsonMode {
	return jsonMode{ring("frequency", frequency, "Hz"), ring("quality_factor", t.Quality, "1"), ring("amplitude", t.Amplitude, unit)}
}

// ring is estimate for what ringing found.
func ring(name string, e quantities.Estimate, unit string) jsonEstimate {
	j := jsonEstimate{Name: name, Unit: unit, Determined: e.Determined}
	if !e.Determined {
		return j
	}
	j.Value = number(e.Value)
	if !e.Unclaimed {
		j.Uncertainty = number(e.Uncertainty)
		if !math.IsInf(e.Interval[0], 0) && !math.IsInf(e.Interval[1], 0) {
			j.Interval = &e.Interval
		}
	}
	return j
}
