package page

import (
	"encoding/json"
	"html/template"
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/decisions"
)

// jsonPanel is what the script is told.
type jsonPanel struct {
	Part  jsonPart       `json:"part"`
	Dial  [2]float64     `json:"dial"` // Hz
	Scale jsonScale      `json:"scale"`
	Modes []jsonModeData `json:"modes"`
}

// jsonPart is what is known of a new part: its tolerance in words, and its
// relative standard uncertainty.
type jsonPart struct {
	Tolerance   string  `json:"tolerance"`
	Uncertainty float64 `json:"uncertainty"`
}

// jsonScale is how many SI units a slider's unit has.
type jsonScale struct {
	Added   float64 `json:"added,omitempty"`
	Covered float64 `json:"covered,omitempty"`
	Hand    float64 `json:"hand,omitempty"`
}

type jsonModeData struct {
	Core   string      `json:"core"`
	Full   bool        `json:"full"`
	Near   bool        `json:"near"`
	Axes   []axis      `json:"axes"`
	LnF    jsonNumbers `json:"lnf"`
	V      jsonNumbers `json:"v"`
	Limits []jsonLimit `json:"limits"`
}

// jsonNumbers are whole numbers in units of Step.
type jsonNumbers struct {
	Step float64 `json:"step"`
	Of   []int64 `json:"of"`
}

// jsonLimit is the range of an axis that was read in a mode. Without one (From
// above To) the whole mode lies outside what was read.
type jsonLimit struct {
	Axis string  `json:"axis"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
	Text string  `json:"text"`
}

// data is the panel for the script.
func (p *panel) data(d *dial, part NewPart) (template.JS, error) {
	out := jsonPanel{Part: jsonPart{quantity.FormatValue(part.Tolerance, 2, "%").String(), part.Uncertainty}, Dial: [2]float64{d.Min, d.Max},
		Scale: jsonScale{p.Added.scale(), p.Covered.scale(), p.Hand.scale()}}
	for _, m := range p.Modes {
		j := jsonModeData{Core: m.core, Full: m.full, Near: m.near, Axes: append([]axis{}, m.axes...), Limits: []jsonLimit{},
			LnF: whole(m.lnF, frequencyStep), V: whole(m.v, m.step)}
		for _, o := range m.limits {
			j.Limits = append(j.Limits, limitText(o))
		}
		out.Modes = append(out.Modes, j)
	}
	text, err := json.Marshal(out)
	return template.JS(quantity.VisibleJSON(text)), err
}

func whole(c []float64, step float64) jsonNumbers {
	out := jsonNumbers{Step: step, Of: make([]int64, len(c))}
	for i, v := range c {
		out.Of[i] = int64(math.Round(v / step))
	}
	return out
}

// limitText words what was read of one element of a state.
func limitText(o decisions.Outside) jsonLimit {
	l := jsonLimit{From: o.From, To: o.To}
	switch o.Element {
	case decisions.AddedElement:
		l.Axis = "added"
		l.Text = "the readings in this condition have " + span(o, capacitance) + " on the top"
	case decisions.CoveredElement:
		l.Axis = "covered"
		l.Text = "the readings with this core cover " + span(o, func(v float64) string { return quantity.Digits(100*v, 3) + " %" }) + " of the winding"
	case decisions.HandElement:
		l.Axis = "hand"
		l.Text = "the readings have a hand at " + span(o, wording.Distance)
	default:
		l.From, l.To = 1, 0
		l.Text = "core and hand were never read together"
	}
	return l
}

func capacitance(v float64) string {
	if v == 0 {
		return "nothing"
	}
	return quantity.FormatValue(v, 3, "F").String()
}

// span words a range.
func span(o decisions.Outside, word func(float64) string) string {
	if o.From == o.To {
		return word(o.From)
	}
	return word(o.From) + " to " + word(o.To)
}
