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
	out := jsonCaptures{Schema: Schema, Captures: []jsonCapture{}}
	for _, c := range list {
		out.Captures = append(out.Captures, captured(c))
	}
	for _, s := range sweeps {
		out.Sweeps = append(out.Sweeps, sweptJSON(s))
	}
	return writeJSON(w, out)
}

func captured(c Captured) jsonCapture {
	r, unit := c.Result, c.Capture.Unit
	j := jsonCapture{Name: c.Capture.Name, Column: c.Capture.Column, Segment: c.Capture.Segment, Samples: len(c.Capture.Signal.Samples),
		Interval: c.Capture.Signal.Interval, IntervalUnit: "s", Kind: r.Kind.String(),
		Resonance: ring("resonance_frequency", r.Resonance, "Hz"), Frequency: ring("crossing_frequency", r.Frequency, "Hz"),
		Quality: ring("quality_factor", r.Quality, "1"), Damping: ring("damping", r.Damping, "1/s"),
		Amplitude: ring("amplitude", r.Amplitude, unit), Offset: ring("offset", r.Offset, unit),
		NoiseRMS: number(r.Noise.RMS), Modes: []jsonMode{}, Tones: []jsonTone{}, Bursts: []jsonBurst{},
		Used: number(r.Used), LeftOut: []jsonLeft{}, Warnings: append([]string{}, captureNotes(c)...)}
	if r.QualityAtLeast > 0 {
		j.QualityAtLeast = number(r.QualityAtLeast)
	}
	for _, t := range r.Tones {
		j.Tones = append(j.Tones, jsonTone{t.Relation.String(), t.Harmonic, modeJSON(t.Frequency, &t, unit)})
	}
	for _, s := range r.Bursts {
		j.Bursts = append(j.Bursts, jsonBurst{s.Start, s.End, "s", s.Cycles,
			ring("frequency", s.Tone.Natural, "Hz"), ring("quality_factor", s.Tone.Quality, "1"), s.Apart})
	}
	for _, l := range r.Left {
		j.LeftOut = append(j.LeftOut, jsonLeft{l.Start, l.End, "s", l.Why.String()})
	}
	j.modes(r, unit)
	return j
}

func (j *jsonCapture) modes(r *ringing.Result, unit string) {
	if len(r.Modes) == 0 {
		return
	}
	names := []string{}
	for i, m := range r.Modes {
		j.Modes = append(j.Modes, modeJSON(m.Natural, &m, unit))
		names = append(names, fmt.Sprintf("frequency_%d", i+1), fmt.Sprintf("quality_factor_%d", i+1))
	}
	if r.Covariance != nil {
		j.Covariance = &jsonMatrix{names, r.Covariance}
	}
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
