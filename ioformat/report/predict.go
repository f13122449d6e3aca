package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

// Predictions is what predict prints: states, and the parts they refer to.
type Predictions struct {
	List   []decisions.Prediction
	Parts  []readings.Part
	Change string  // of the drawing, in the user's words; "" for none
	Volts  float64 // peak at the top, at which the coil shall work; 0: not asked
}

// PredictText writes predictions for people to read; plan is what to do next for the
// first of them.
func PredictText(w io.Writer, r *model.Result, p Predictions, plan decisions.Planned, src Source, v View) error {
	return written(w, v, func(t *text, terse int) {
		t.heading(fmt.Sprintf("%s: predicted from %s%s", src.Log, quantity.Count(r.Quality.Readings, "reading"), earlierCount(r)), Verdict(r))
		if p.Change != "" {
			t.line("After a change of the drawing: " + p.Change)
		}
		t.warnings(r, src, terse)
		t.blank()
		states := p.List
		if terse >= 0 {
			states = states[:min(len(states), 14-2*terse)]
		}
		t.outdented(predictions(states, p.Parts, terse == everything))
		t.more(len(p.List) - len(states))
		if p.Volts == 0 && !v.Full || len(p.stressed(states)) == 0 { // else a section begins with one
			t.blank()
		}
		for i := range states {
			t.remarks(r, &states[i], p.Parts, terse)
		}
		t.voltages(p.stressed(states), p.Volts, v.Full)
		if len(states) == 1 && states[0].Frequency.Determined {
			t.budget(&states[0].Frequency, "the frequency")
		}
		if s := step(plan, "frequency", p.Parts, len(r.Cores()) > 0); s != "" {
			t.cutPoint("Next", s, 3)
		}
		t.blank()
		if terse == everything {
			for i := range p.List {
				if q := &p.List[i]; len(q.Effects) > 0 {
					t.line("Other effects: " + wording.State(q.State, p.Parts))
					t.table(effectTable(q.Effects))
					t.blank()
				}
			}
		}
		t.footer(v)
	})
}

// footer ends the answers on what may be tried with a coil.
func (t *text) footer(v View) {
	if v.Full {
		t.line("± is one standard uncertainty.")
	} else {
		t.line("± is one standard uncertainty. More: --full.")
	}
	t.line(highVoltage)
}

// predictions lists states with their frequencies, all in one unit, and the interval of
// the mean where that is wanted too.
func predictions(list []decisions.Prediction, parts []readings.Part, mean bool) *Table {
	t := newTable(left("State"), right("frequency"), left("±"), left(""), left(""), left("95 %, new reading"))
	if mean {
		t.Columns[4].Head = "95 % interval"
	}
	for _, q := range list {
		name := wording.State(q.State, parts)
		e := &q.Frequency
		if !e.Determined {
			t.row(name, quantity.Undetermined, "", "", "", "")
			continue
		}
		u := frequencyUnit(list)
		v, reading, ofMean := u.Format(e.Value, e.Uncertainty), u.FormatInterval(q.NewReading[0], q.NewReading[1]), ""
		if mean {
			i := u.FormatInterval(e.Interval[0], e.Interval[1])
			ofMean = nobreak(i.Low + " to " + i.High)
		}
		t.row(name, v.Value, v.Uncertainty, v.Unit, ofMean, nobreak(reading.Low+" to "+reading.High))
	}
	return t
}

// frequencyUnit returns the unit of a column of predicted frequencies.
func frequencyUnit(list []decisions.Prediction) quantity.Unit {
	highest, u := 0.0, 0.0
	for i := range list {
		if e := &list[i].Frequency; e.Determined && e.Value > highest {
			highest, u = e.Value, e.Uncertainty
		}
	}
	return quantity.UnitFor(highest, u, "Hz")
}

const highVoltage = "High voltage burns whatever these numbers say: keep away, discharge it first."

// remarks says where a prediction reaches beyond the readings, or why there is
// none.
func (t *text) remarks(r *model.Result, q *decisions.Prediction, parts []readings.Part, terse int) {
	name := wording.State(q.State, parts)
	most := 3
	if terse == everything {
		most = 0
	}
	for _, m := range each(q.Missing, missing) {
		t.cutPoint("No prediction", name+": "+m, most)
	}
	if len(q.Outside) == 0 {
		return
	}
	text := name + ": " + strings.Join(each(q.Outside, outside), "; ")
	if q.Nearest >= 0 {
		o := &r.Readings[q.Nearest]
		text += fmt.Sprintf("; nearest reading: line %d, %s, %s", o.Line, wording.State(o.State, parts),
			nobreak(quantity.Format(o.Frequency, o.Uncertainty, "Hz").String()))
	}
	t.cutPoint("Extrapolated", text, most)
}

func missing(m *decisions.Missing) string {
	switch m.Kind {
	case decisions.AddedElement:
		if m.Name == "" {
			return "what it needs is not determined by these readings; fitcoil fit names the remedy"
		}
		return fmt.Sprintf("the capacitance of %q is in no reading used", m.Name)
	case decisions.CoreElement:
		return fmt.Sprintf("core %q is in no reading used", m.Name)
	case decisions.PrimaryElement:
		if m.Name != "" {
			return fmt.Sprintf("no reading used has the primary so with core %q there", m.Name)
		}
		return "no reading used has the primary so with the core out"
	}
	return "no reading used has a hand near"
}

// span writes what lies between two values, or the only one.
func span(from, to string) string {
	if from == to {
		return from
	}
	return from + " to " + to
}

// picofarads writes a capacitance, without a unit where it is zero.
func picofarads(farad float64) string {
	if farad == 0 {
		return "0 pF"
	}
	return quantity.FormatValue(farad, 3, "F").String()
}

func outside(o *decisions.Outside) string {
	never := math.IsNaN(o.From)
	is := "beyond"
	if o.Predicted < o.From {
		is = "below"
	}
	switch o.Element {
	case decisions.AddedElement:
		return fmt.Sprintf("%s on the top is %s the %s read in this condition", quantity.FormatValue(o.Predicted, 3, "F"), is,
			span(picofarads(o.From), picofarads(o.To)))
	case decisions.CoveredElement:
		return fmt.Sprintf("%s %% covered is %s the %s %% read with this core", quantity.Digits(100*o.Predicted, 3), is,
			span(quantity.Digits(100*o.From, 3), quantity.Digits(100*o.To, 3)))
	case decisions.HandElement:
		return fmt.Sprintf("%s is %s the %s read", wording.Distance(o.Predicted), is, span(wording.Distance(o.From), wording.Distance(o.To)))
	}
	if o.Element == decisions.DrawingElement {
		return "the change of the drawing is carried over to the fitted values"
	}
	if never {
		return "core and hand were never read together"
	}
	return "it is outside what was read"
}

func effectTable(effects []decisions.Effect) *Table {
	t := newTable(left(""), right("value"), left("±"), left(""), right("bare ×"), left("±"))
	for _, e := range effects {
		row := []string{strings.ReplaceAll(e.Name, "_", " "), "", "", ""}
		if e.Determined {
			c := cells(&e.Estimate, units{})
			copy(row[1:], c[:3])
		}
		ratio := quantity.Format(e.Ratio.Value, e.Ratio.Uncertainty, "")
		t.row(append(row, ratio.Value, ratio.Uncertainty)...)
	}
	return t
}

// jsonPredictions holds a single prediction twice, at the top and in the list,
// so that a script for one state and a script for many both read plainly.
type jsonPredictions struct {
	jsonHead
	Change string `json:"change,omitempty"`
	*jsonPrediction
	Predictions []jsonPrediction `json:"predictions"`
	Voltage     []jsonVoltage    `json:"voltage,omitempty"`
	jsonTold
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
	Primary string      `json:"primary,omitempty"`
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
func PredictJSON(w io.Writer, r *model.Result, p Predictions, src Source) error {
	out := jsonPredictions{jsonHead: head(src), Change: p.Change, Predictions: predictionsJSON(p.List, p.Parts),
		Voltage: voltagesJSON(p.stressed(p.List), p.Volts), jsonTold: src.told(r)}
	if len(out.Predictions) == 1 {
		out.jsonPrediction = &out.Predictions[0]
	}
	return writeJSON(w, out)
}

func predictionsJSON(list []decisions.Prediction, parts []readings.Part) []jsonPrediction {
	return each(list, func(q *decisions.Prediction) jsonPrediction { return prediction(q, parts) })
}

func prediction(q *decisions.Prediction, parts []readings.Part) jsonPrediction {
	return jsonPrediction{State: state(q.State, parts), Frequency: frequency(q), Extrapolated: len(q.Outside) > 0,
		Reasons: append(each(q.Missing, missing), each(q.Outside, outside)...),
		Effects: each(q.Effects, func(e *decisions.Effect) jsonEffect { return jsonEffect{estimate(&e.Estimate), estimate(&e.Ratio)} })}
}

// frequency is the frequency of a prediction with the interval for one new
// reading, where there is one.
func frequency(q *decisions.Prediction) jsonFrequency {
	j := jsonFrequency{jsonEstimate: estimate(&q.Frequency)}
	if q.Frequency.Determined {
		j.NewReading = &q.NewReading
	}
	return j
}

// state is setting with an empty clip among what is added.
func state(s readings.State, parts []readings.Part) jsonState {
	j := setting(s, parts)
	if s.Clip && len(s.Parts) == 0 && s.Exact == 0 {
		j.Added = append(j.Added, "clip")
	}
	return j
}

func setting(s readings.State, parts []readings.Part) jsonState {
	j := jsonState{Added: append([]string{}, readings.Names(s.Of(parts))...), Exact: s.Exact, Core: s.Core, Hand: number(s.Hand), Primary: wording.Primary(s.Condition())}
	if s.Core != "" {
		j.Covered = &[2]float64{s.From, s.To}
	}
	return j
}

// stressed lists where the voltage stands in the states of list, as far as that is known.
func (p *Predictions) stressed(list []decisions.Prediction) (out []stressed) {
	for i := range list {
		if q := &list[i]; q.Stress != nil {
			out = append(out, stressed{wording.State(q.State, p.Parts), q.Stress, q.Heats})
		}
	}
	return out
}
