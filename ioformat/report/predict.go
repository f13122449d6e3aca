package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// Predictions is what predict prints: states, and the parts they refer to.
type Predictions struct {
	List   []model.Prediction
	Parts  []model.Part
	Change string // of the drawing, in the user's words; "" for none
}

// PredictText writes predictions for people to read.
func PredictText(w io.Writer, r *model.Result, p Predictions, src Source) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: predictions from %s\n", src.Log, count(r.Quality.Readings, "reading"))
	b.WriteString(src.howRead())
	if p.Change != "" {
		fmt.Fprintf(&b, "after a change of the drawing: %s\n", p.Change)
	}
	section(&b, "Frequency", "± is one standard uncertainty")
	t := newTable(left("state"), right("frequency"), left("±"), left(""), left("95 % interval"), left("95 % for one new reading"))
	for i := range p.List {
		q := &p.List[i]
		name := wording.State(q.State, p.Parts)
		e := &q.Frequency
		if !e.Determined {
			t.row(name, quantity.Undetermined, "", "", "", "")
			continue
		}
		c := cells(e, units{})
		u := quantity.UnitFor(e.Value, e.Uncertainty, e.Unit)
		n := u.FormatInterval(q.NewReading[0], q.NewReading[1])
		t.row(name, c[0], c[1], c[2], c[3], n.Low+" to "+n.High)
	}
	b.WriteString(t.text())
	for i := range p.List {
		b.WriteString(remarks(r, &p.List[i], p.Parts))
	}
	for i := range p.List {
		if q := &p.List[i]; len(q.Effects) > 0 {
			section(&b, "What else it does: "+wording.State(q.State, p.Parts), "")
			b.WriteString(effectTable(q.Effects))
		}
	}
	b.WriteString("\n" + highVoltage)
	_, err := io.WriteString(w, b.String())
	return err
}

const highVoltage = `High voltage stays high voltage whatever the numbers say: keep away from the
running coil, and discharge it before touching.
`

// remarks says where a prediction reaches beyond the readings, or why there is
// none.
func remarks(r *model.Result, q *model.Prediction, parts []model.Part) string {
	var b strings.Builder
	name := wording.State(q.State, parts)
	for _, m := range q.Missing {
		fmt.Fprintf(&b, "  %s: no prediction, since %s\n", name, missing(m))
	}
	for _, o := range q.Outside {
		fmt.Fprintf(&b, "  %s: extrapolated, since %s\n", name, outside(o))
	}
	if len(q.Outside) > 0 && q.Nearest >= 0 {
		o := &r.Readings[q.Nearest]
		fmt.Fprintf(&b, "    nearest reading: line %d, %s, %s\n", o.Line, wording.State(o.State, parts),
			quantity.Format(o.Frequency, o.Uncertainty, "Hz"))
	}
	return b.String()
}

func missing(m model.Missing) string {
	switch m.Kind {
	case model.AddedElement:
		if m.Name == "" {
			return "the readings don't fix what it needs; fitcoil fit tells the remedy"
		}
		return fmt.Sprintf("the capacitance of %q is in no reading used", m.Name)
	case model.CoreElement:
		return fmt.Sprintf("core %q is in no reading used", m.Name)
	}
	return "no reading used has a hand near"
}

func outside(o model.Outside) string {
	never := math.IsNaN(o.From)
	switch o.Element {
	case model.AddedElement:
		return fmt.Sprintf("%s on the top is beyond the %s to %s read in this condition", quantity.FormatValue(o.Predicted, 3, "F"),
			quantity.FormatValue(o.From, 3, "F"), quantity.FormatValue(o.To, 3, "F"))
	case model.CoveredElement:
		return fmt.Sprintf("%.3g %% covered is beyond the %.3g to %.3g %% read with this core", 100*o.Predicted, 100*o.From, 100*o.To)
	case model.HandElement:
		return fmt.Sprintf("%s is beyond the %s to %s read", Distance(o.Predicted), Distance(o.From), Distance(o.To))
	}
	if o.Element == model.DrawingElement {
		return "it is carried over from the change of the drawing"
	}
	if never {
		return "core and hand were never read together"
	}
	return "it is outside what was read"
}

func effectTable(effects []model.Effect) string {
	t := newTable(left(""), right("value"), left("±"), left(""), right("against bare ×"), left("±"))
	for i := range effects {
		e := &effects[i]
		row := []string{strings.ReplaceAll(e.Name, "_", " "), "", "", ""}
		if e.Determined {
			c := cells(&e.Estimate, units{})
			copy(row[1:], c[:3])
		}
		ratio := quantity.Format(e.Ratio.Value, e.Ratio.Uncertainty, "")
		t.row(append(row, ratio.Value, ratio.Uncertainty)...)
	}
	return t.text()
}

// jsonPredictions holds a single prediction twice, at the top and in the list,
// so that a script for one state and a script for many both read plainly.
type jsonPredictions struct {
	Schema int    `json:"schema"`
	Log    string `json:"log"`
	SHA256 string `json:"log_sha256,omitempty"`
	Change string `json:"change,omitempty"`
	*jsonPrediction
	Predictions []jsonPrediction `json:"predictions"`
	Warnings    []string         `json:"warnings"`
}

type jsonPrediction struct {
	State        jsonState     `json:"state"`
	Frequency    jsonFrequency `json:"frequency"`
	Extrapolated bool          `json:"extrapolated"`
	Reasons      []string      `json:"reasons"`
	Effects      []jsonEffect  `json:"effects"`
}

type jsonState struct {
	Added   []string    `json:"added"`
	Exact   float64     `json:"added_exact,omitempty"`
	Core    string      `json:"core,omitempty"`
	Covered *[2]float64 `json:"covered,omitempty"`
	Hand    *float64    `json:"hand,omitempty"`
}

type jsonFrequency struct {
	jsonEstimate
	NewReading *[2]float64 `json:"prediction_interval_95,omitempty"`
}

type jsonEffect struct {
	jsonEstimate
	Ratio jsonEstimate `json:"ratio_to_bare"`
}

// PredictJSON writes predictions as one JSON object, SI throughout.
func PredictJSON(w io.Writer, p Predictions, src Source) error {
	out := jsonPredictions{Schema: Schema, Log: src.Log, SHA256: src.SHA256, Change: p.Change, Predictions: []jsonPrediction{}, Warnings: src.warnings()}
	for i := range p.List {
		out.Predictions = append(out.Predictions, prediction(&p.List[i], p.Parts))
	}
	if len(out.Predictions) == 1 {
		out.jsonPrediction = &out.Predictions[0]
	}
	return writeJSON(w, out)
}

func prediction(q *model.Prediction, parts []model.Part) jsonPrediction {
	j := jsonPrediction{State: state(q.State, parts), Extrapolated: len(q.Outside) > 0, Reasons: []string{}, Effects: []jsonEffect{}}
	j.Frequency = frequency(q)
	for _, m := range q.Missing {
		j.Reasons = append(j.Reasons, missing(m))
	}
	for _, o := range q.Outside {
		j.Reasons = append(j.Reasons, outside(o))
	}
	for i := range q.Effects {
		e := &q.Effects[i]
		j.Effects = append(j.Effects, jsonEffect{estimate(&e.Estimate), estimate(&e.Ratio)})
	}
	return j
}

// frequency is the frequency of a prediction with the interval for one new
// reading, where there is one.
func frequency(q *model.Prediction) jsonFrequency {
	j := jsonFrequency{jsonEstimate: estimate(&q.Frequency)}
	if q.Frequency.Determined {
		j.NewReading = &q.NewReading
	}
	return j
}

func state(s model.State, parts []model.Part) jsonState {
	j := jsonState{Added: []string{}, Exact: s.Exact, Core: s.Core, Hand: number(s.Hand)}
	for _, p := range s.Parts {
		j.Added = append(j.Added, parts[p].Name)
	}
	if s.Clip && len(s.Parts) == 0 && s.Exact == 0 {
		j.Added = append(j.Added, "clip")
	}
	if s.Core != "" {
		j.Covered = &[2]float64{s.From, s.To}
	}
	return j
}
