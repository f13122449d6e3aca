package report

import (
	"fmt"
	"io"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

// Ways is how a frequency can be reached from a state.
type Ways struct {
	Target   float64 // Hz
	Parts    []readings.Part
	From     decisions.Prediction
	Controls []decisions.Reached
	AtHand   []decisions.Prediction // sums of parts at hand, the nearest first
	Redrawn  []Redrawn
}

// Redrawn is a change of one quantity of the drawing.
type Redrawn struct {
	decisions.Redrawn
	Name    string
	Unit    quantity.Unit
	Present float64 // SI
	Problem string  // why the drawing can't be changed so far; "" for nothing
}

// WaysText writes every way to reach a frequency, for people to read.
func WaysText(w io.Writer, r *model.Result, a Ways, src Source, v View) error {
	return shortest(func(terse int) *text {
		if v.Full {
			terse = everything
		}
		t := newText(v)
		from := wording.State(a.From.State, a.Parts)
		if e := &a.From.Frequency; e.Determined && !undermined(r) {
			from += ", " + quantity.Format(e.Value, e.Uncertainty, "Hz").String()
		}
		t.heading(fmt.Sprintf("%s: to reach %s", src.Log, quantity.FormatValue(a.Target, 5, "Hz")), "from "+from)
		t.warnings(r, src, terse)
		t.blank()
		t.outdented(waysTable(a))
		t.blank()
		t.footer(v)
		return t
	}).to(w)
}

// waysTable lists the ways, what each sets, and the frequency there.
func waysTable(a Ways) *Table {
	t := newTable(left("Way"), left("setting"), left(""))
	for i := range a.Controls {
		c := &a.Controls[i]
		way := [...]string{"added on the top", "core " + c.Start.Core + ", covered", "hand at"}[c.By]
		switch {
		case !c.At.Frequency.Determined:
			t.row(way, notDetermined, "")
		case !c.Reachable:
			t.row(way, "out of reach", "at the closest, "+settingText(c.By, c.Closest)+", "+frequencyText(&c.At))
		case !c.Setting.Determined:
			t.row(way, openSetting(c), "")
		default:
			t.row(way, quantity.Format(c.Setting.Value, c.Setting.Uncertainty, settingUnit(c.By)).String(), extrapolatedText(&c.At))
		}
		if c.By == decisions.ByAdded {
			for k := range a.AtHand {
				p := &a.AtHand[k]
				t.row("parts at hand", wording.State(p.State, a.Parts), frequencyText(p))
			}
			for k := range c.Standard {
				if p := &c.Standard[k]; p.Frequency.Determined {
					t.row("standard value", quantity.FormatValue(c.Values[k].Capacitance, 2, "F").String(), frequencyText(p))
				}
			}
		}
	}
	for i := range a.Redrawn {
		d := &a.Redrawn[i]
		now := "now " + d.Unit.Format(d.Present, 0).String()
		switch {
		case d.Reachable && d.Setting.Determined:
			t.row(d.Name, d.Unit.Format(d.Setting.Value, d.Setting.Uncertainty).String(), now)
		case d.Problem != "":
			t.row(d.Name, "out of reach", now+"; "+d.Problem)
		case d.Closest == d.Present:
			t.row(d.Name, "out of reach", now+"; a change hardly matters, or goes the other way")
		default:
			t.row(d.Name, "out of reach", fmt.Sprintf("%s; %s gives %s", now, d.Unit.Format(rounded(d.Closest), 0), frequencyText(&d.At)))
		}
	}
	return t
}

func frequencyText(p *decisions.Prediction) string {
	if !p.Frequency.Determined {
		return notDetermined
	}
	return quantity.Format(p.Frequency.Value, p.Frequency.Uncertainty, "Hz").String()
}

// extrapolatedText says that a prediction is one, and why.
func extrapolatedText(p *decisions.Prediction) string {
	if len(p.Outside) == 0 {
		return ""
	}
	return "extrapolated: " + outside(p.Outside[0])
}

type jsonWays struct {
	jsonHead
	Target  float64          `json:"target"`
	Unit    string           `json:"unit"`
	From    jsonPrediction   `json:"from"`
	Ways    []jsonReach      `json:"ways"`
	AtHand  []jsonPrediction `json:"parts_at_hand"`
	Redrawn []jsonRedrawn    `json:"drawing_changes"`
	jsonTold
}

type jsonRedrawn struct {
	Quantity  string         `json:"quantity"`
	Present   float64        `json:"present"`
	Reachable bool           `json:"reachable"`
	Setting   jsonEstimate   `json:"setting"`
	Closest   *float64       `json:"closest_setting,omitempty"`
	At        jsonPrediction `json:"at"`
	Problem   string         `json:"problem,omitempty"`
}

// WaysJSON writes the same as one JSON object, SI throughout.
func WaysJSON(w io.Writer, r *model.Result, a Ways, src Source) error {
	out := jsonWays{jsonHead: head(src), Target: a.Target, Unit: "Hz", From: prediction(&a.From, a.Parts),
		Ways: []jsonReach{}, AtHand: []jsonPrediction{}, Redrawn: []jsonRedrawn{}, jsonTold: src.told(r)}
	for i := range a.Controls {
		out.Ways = append(out.Ways, reached(&a.Controls[i], a.Parts))
	}
	for i := range a.AtHand {
		out.AtHand = append(out.AtHand, prediction(&a.AtHand[i], a.Parts))
	}
	for i := range a.Redrawn {
		d := &a.Redrawn[i]
		j := jsonRedrawn{Quantity: d.Name, Present: d.Present, Reachable: d.Reachable, Setting: estimate(&d.Setting),
			At: prediction(&d.At, a.Parts), Problem: d.Problem}
		if !d.Reachable {
			j.Closest = number(d.Closest)
		}
		out.Redrawn = append(out.Redrawn, j)
	}
	return writeJSON(w, out)
}
