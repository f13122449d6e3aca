package report

import (
	"bytes"
	"encoding/json"
	"io"
	"math"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
)

// Schema is the number of the JSON layout. It grows when a field changes its
// meaning or goes; new fields leave it as it is.
const Schema = 2

// Source names where a result comes from.
type Source struct {
	Log     string // file name, "-" for standard input
	SHA256  string // of the log's bytes, in hexadecimal
	Program *Program
	Files   []File // all inputs, the log first
	// Warnings tell what was assumed or left out when the inputs were read:
	// the result depends on it.
	Warnings []string
}

// jsonTold is what was found of the numbers, beside them; no list is null.
type jsonTold struct {
	Contradicted bool     `json:"contradicted"`
	Warnings     []string `json:"warnings"`
	Notes        []string `json:"notes"`
}

// told is s.Warnings and what was found in r, if there is one.
func (s Source) told(r *model.Result) jsonTold {
	out := jsonTold{Warnings: append([]string{}, s.Warnings...), Notes: []string{}}
	if r == nil {
		return out
	}
	out.Contradicted = undermined(r)
	for _, f := range r.Findings {
		if noted(f) {
			out.Notes = append(out.Notes, Sentence(f))
		} else {
			out.Warnings = append(out.Warnings, Sentence(f))
		}
	}
	return out
}

// add takes over what was found in one of several sessions, whose name comes before each sentence.
func (j *jsonTold) add(name string, t jsonTold) {
	j.Contradicted = j.Contradicted || t.Contradicted
	for _, w := range t.Warnings {
		j.Warnings = append(j.Warnings, name+w)
	}
	for _, n := range t.Notes {
		j.Notes = append(j.Notes, name+n)
	}
}

// jsonAmplitude is what explains the amplitude of the bare coil with a core over that without.
type jsonAmplitude struct {
	Core        string   `json:"core"`
	Amplitude   float64  `json:"amplitude"`
	Quality     float64  `json:"quality_factor"`
	Capacitance float64  `json:"capacitance"`
	Coupling    *float64 `json:"coupling,omitempty"`
	Rest        float64  `json:"rest"`
}

type jsonFit struct {
	Schema int    `json:"schema"`
	Log    string `json:"log"`
	SHA256 string `json:"log_sha256,omitempty"`
	jsonOrigin
	Resonator    string             `json:"resonator"`
	Parameters   []jsonEstimate     `json:"parameters"`
	Derived      []jsonEstimate     `json:"derived"`
	Contrasts    []jsonContrast     `json:"contrasts"`
	Amplitude    []jsonAmplitude    `json:"amplitude_shares,omitempty"`
	Covariance   *jsonMatrix        `json:"covariance,omitempty"`
	Carried      *CarriedJSON       `json:"carried,omitempty"`
	Drawing      []jsonDrawn        `json:"drawing,omitempty"`
	MonteCarlo   *jsonMonteCarlo    `json:"monte_carlo,omitempty"`
	Profiles     []jsonProfile      `json:"profiles,omitempty"`
	Quality      jsonQuality        `json:"quality"`
	Repeats      *jsonScatter       `json:"repeat_scatter,omitempty"`
	Alternative  *jsonAlternative   `json:"alternative,omitempty"`
	Readings     []jsonReading      `json:"readings"`
	Undetermined []jsonUndetermined `json:"undetermined"`
	Assumed      []jsonAssumption   `json:"assumed"`
	jsonTold
}

type jsonEstimate struct {
	Name        string      `json:"name"`
	Core        string      `json:"core,omitempty"`
	Part        string      `json:"part,omitempty"`
	Hand        *float64    `json:"hand,omitempty"`
	Covered     *[2]float64 `json:"covered,omitempty"`
	Value       *float64    `json:"value,omitempty"`
	Unit        string      `json:"unit"`
	Uncertainty *float64    `json:"standard_uncertainty,omitempty"`
	Stated      *float64    `json:"stated_uncertainty,omitempty"`
	Interval    *[2]float64 `json:"interval_95,omitempty"`
	IntervalBy  string      `json:"interval_by,omitempty"`
	Linear      *[2]float64 `json:"linear_interval_95,omitempty"`
	Degrees     *float64    `json:"degrees_of_freedom,omitempty"`
	Coverage    *float64    `json:"coverage_factor,omitempty"`
	Determined  bool        `json:"determined"`
	MostlyPrior bool        `json:"held_by_prior"`
	Equivalent  bool        `json:"equivalent_line,omitempty"`
	AtBound     string      `json:"at_bound,omitempty"`
	Budget      *jsonBudget `json:"variance_shares,omitempty"`
}

type jsonBudget struct {
	Readings  float64 `json:"readings"`
	Tolerance float64 `json:"tolerance"`
	Common    float64 `json:"tolerance_in_common"`
	Known     float64 `json:"known"`
	Assumed   float64 `json:"assumed"`
	Model     float64 `json:"model"`
}

// jsonDrawn compares a quantity of the drawing with the readings alone.
type jsonDrawn struct {
	Name     string       `json:"name"`
	Drawn    jsonEstimate `json:"drawn"`
	Readings jsonEstimate `json:"readings_alone"`
	Sigmas   *float64     `json:"sigmas,omitempty"`
}

// jsonContrast is a ratio with a core over without, of what was logged.
type jsonContrast struct {
	Of          string   `json:"of"`
	Core        string   `json:"core"`
	Ratio       float64  `json:"ratio"`
	Uncertainty *float64 `json:"standard_uncertainty,omitempty"`
	Pairs       int      `json:"pairs"`
}

// jsonAlternative is the quality of the resonator that wasn't chosen.
type jsonAlternative struct {
	Resonator string `json:"resonator"`
	jsonQuality
}

type jsonQuality struct {
	Readings         int      `json:"readings"`
	DegreesOfFreedom int      `json:"degrees_of_freedom"`
	ChiSquare        *float64 `json:"chi_square"`
	PValue           *float64 `json:"p_value"`
	Scale            *float64 `json:"scale_factor"`
	PartScale        *float64 `json:"tolerance_factor"`
	Converged        bool     `json:"converged"`
	Outcome          string   `json:"outcome"`
	AICc             *float64 `json:"aicc"`
}

// jsonScatter is what readings of one state say of their stated uncertainties.
type jsonScatter struct {
	Ratio    float64  `json:"ratio"`
	Relative float64  `json:"relative_standard_deviation"`
	Degrees  float64  `json:"degrees_of_freedom"`
	PValue   *float64 `json:"lack_of_fit_p_value"`
}

type jsonReading struct {
	Line         int          `json:"line"`
	Frequency    float64      `json:"frequency"`
	Uncertainty  float64      `json:"standard_uncertainty"`
	Used         bool         `json:"used"`
	Fitted       *float64     `json:"fitted"`
	Residual     *float64     `json:"residual"`
	Standardised *float64     `json:"standardised_residual"`
	Leverage     *float64     `json:"leverage"`
	Cook         *float64     `json:"cooks_distance"`
	Flag         string       `json:"flag"`
	Without      *jsonWithout `json:"without,omitempty"`
	Unit         string       `json:"unit"`
	Repeats      *jsonRepeats `json:"repeats,omitempty"`
}

type jsonUndetermined struct {
	What       string   `json:"what"`
	Remedy     string   `json:"remedy"`
	Quantities []string `json:"quantities"`
	Core       string   `json:"core,omitempty"`
	Part       string   `json:"part,omitempty"`
}

// jsonWithout is what the coil would be without a suspect reading.
type jsonWithout struct {
	Inductance  jsonEstimate `json:"inductance"`
	Effective   jsonEstimate `json:"effective_inductance"`
	Capacitance jsonEstimate `json:"effective_capacitance"`
}

// FitJSON writes r, and more if there is any, as one JSON object, SI throughout.
func FitJSON(w io.Writer, r *model.Result, extra Extra, src Source) error {
	out := fitJSON(r, src)
	out.MonteCarlo = monteCarlo(extra.MonteCarlo)
	out.Profiles = each(extra.Profiles, profiled)
	return writeJSON(w, out)
}

func fitJSON(r *model.Result, src Source) jsonFit {
	out := jsonFit{
		Schema: Schema, Log: src.Log, SHA256: src.SHA256, jsonOrigin: origin(src), Resonator: r.Resonator, Covariance: covariance(r), Carried: carried(r, src),
		Parameters: each(r.Parameters, estimate), Derived: each(r.Derived, estimate),
		Quality:   quality(r.Quality),
		Readings:  each(r.Readings, readingJSON),
		Contrasts: []jsonContrast{},
		Assumed:   assumed(r), jsonTold: src.told(r),
		Undetermined: each(r.Undetermined, func(u *findings.Undetermined) jsonUndetermined {
			what, remedy := Sentences(*u)
			return jsonUndetermined{what, remedy, u.Names, u.Core, u.Part}
		}),
		Drawing: each(r.Checks, func(c *estimation.Check) jsonDrawn {
			return jsonDrawn{c.Drawn.Name, expected(&c.Drawn), expected(&c.Readings), number(c.Sigmas)}
		}),
	}
	if s := scatterOfRepeats(r); s != nil {
		out.Repeats = &jsonScatter{s.Ratio, s.Relative, s.Degrees, number(s.PValue)}
	}
	r.Compare()
	if a := r.Alternative; a != nil {
		out.Alternative = &jsonAlternative{a.Resonator, quality(a.Quality)}
	}
	for _, c := range r.Contrasts {
		of := "amplitude"
		if c.Quality {
			of = "quality_factor"
		}
		out.Contrasts = append(out.Contrasts, jsonContrast{of, c.Core, c.Ratio, number(c.Uncertainty), c.Pairs})
		if s, ok := r.AmplitudeShares(c.Core); ok && !c.Quality {
			out.Amplitude = append(out.Amplitude, jsonAmplitude{s.Core, s.Amplitude, s.Quality, s.Capacitance, number(s.Coupling), s.Rest})
		}
	}
	return out
}

func quality(q estimation.Quality) jsonQuality {
	return jsonQuality{
		Readings: q.Readings, DegreesOfFreedom: q.DegreesOfFreedom,
		ChiSquare: number(q.ChiSquare), PValue: number(q.PValue), Scale: number(q.Scale), PartScale: number(q.PartScale),
		Converged: q.Converged, Outcome: q.Status.String(), AICc: number(q.AICc),
	}
}

func writeJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(quantity.VisibleJSON(b.Bytes()))
	return err
}

// each returns what f makes of each of list: an empty list, not null, of none.
func each[T, U any](list []T, f func(*T) U) []U {
	out := make([]U, len(list))
	for i := range list {
		out[i] = f(&list[i])
	}
	return out
}

func estimate(e *quantities.Estimate) jsonEstimate {
	j := jsonEstimate{
		Name: e.Name, Core: e.Core, Part: e.Part, Unit: e.Unit,
		Determined: e.Determined, MostlyPrior: e.Determined && e.MostlyPrior(), Equivalent: e.Equivalent,
	}
	if e.Hand > 0 {
		j.Hand = &e.Hand
	}
	if e.Covered[1] > 0 {
		j.Covered = &e.Covered
	}
	if !e.Determined {
		return j
	}
	j.Value, j.Uncertainty, j.Stated = number(e.Value), number(e.Uncertainty), number(e.Stated)
	if number(e.Interval[0]) != nil && number(e.Interval[1]) != nil {
		j.Interval = &e.Interval
	}
	if e.ByProfile {
		j.IntervalBy, j.Linear = "profile likelihood", &e.Linear
	}
	if e.Bound == fit.Free && e.Coverage > 0 {
		j.Degrees, j.Coverage = number(e.Degrees), number(e.Coverage)
	}
	if e.Bound != fit.Free {
		j.AtBound = e.Bound.String()
	}
	j.Budget = &jsonBudget{e.Budget.Readings, e.Budget.Tolerance, e.Budget.Common, e.Budget.Known, e.Budget.Assumed, e.Budget.Model}
	return j
}

func readingJSON(o *estimation.ReadingResult) jsonReading {
	j := jsonReading{
		Line: o.Line, Frequency: o.Frequency, Uncertainty: o.Uncertainty, Used: o.Use, Unit: "Hz",
		Fitted: number(o.Fitted), Residual: number(o.Residual), Standardised: number(o.Standardised),
		Leverage: number(o.Leverage), Cook: number(o.Cook), Flag: flag(o), Repeats: repeats(&o.Reading),
	}
	if w := o.Without; w != nil {
		j.Without = &jsonWithout{expected(&w.Inductance), expected(&w.Effective), expected(&w.Capacitance)}
	}
	return j
}

// flag is the word for what is special about a reading.
func flag(o *estimation.ReadingResult) string {
	switch {
	case !o.Use:
		return "not used"
	case o.Flagged:
		return "suspect"
	}
	return ""
}

// covariance is that of all quantities with a standard uncertainty, by keyName.
func covariance(r *model.Result) *jsonMatrix {
	joint := r.Joint()
	n := len(joint.Estimates)
	if n == 0 {
		return nil
	}
	m := jsonMatrix{}
	for i, e := range joint.Estimates {
		m.Names = append(m.Names, keyName(e.Key))
		m.Matrix = append(m.Matrix, joint.Covariance[i*n:][:n])
	}
	return &m
}

// number returns v, or nothing where it isn't a number.
func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
