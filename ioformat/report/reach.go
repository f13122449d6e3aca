package report

import (
	"fmt"
	"io"
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

// ReachText writes which setting gives a frequency, for people to read.
func ReachText(w io.Writer, r *model.Result, a decisions.Reached, parts []readings.Part, src Source, v View) error {
	t := newText(v)
	terse := v.terse()
	target := quantity.FormatValue(a.Target, 5, "Hz")
	t.line(fmt.Sprintf("%s: to reach %s by %s", src.Log, target, controlName(a.By)))
	t.warnings(r, src, terse)
	t.blank()
	switch {
	case a.Reachable && a.Setting.Determined:
		t.point(controlLabel(a.By), fmt.Sprintf("%s, 95 %% interval %s",
			quantity.Format(a.Setting.Value, a.Setting.Uncertainty, settingUnit(a.By)),
			quantity.FormatInterval(a.Setting.Interval[0], a.Setting.Interval[1], settingUnit(a.By))))
	case a.Reachable:
		t.point(controlLabel(a.By), openSetting(&a))
	case a.At.Frequency.Determined:
		t.point("Out of reach", fmt.Sprintf("the closest is %s, which gives %s", settingText(a.By, a.Closest), frequencyText(&a.At)))
	}
	if !a.At.Frequency.Determined {
		t.point(controlLabel(a.By), notDetermined)
	}
	for i, p := range a.Standard {
		if p.Frequency.Determined {
			t.point("Standard value", fmt.Sprintf("%s gives %s", quantity.FormatValue(a.Values[i].Capacitance, 2, "F"), frequencyText(&p)))
		}
	}
	at := a.At // in a sentence, four digits will do
	at.State.Exact = rounded(at.State.Exact)
	t.remarks(r, &at, parts, terse)
	t.blank()
	t.footer(v)
	return t.to(w)
}

// openSetting says why no setting can be told: the frequency is too uncertain there for as little as it
// depends on it.
func openSetting(a *decisions.Reached) string {
	return fmt.Sprintf("%s: the frequency there, known to ± %s, leaves it open", notDetermined, quantity.FormatValue(a.At.Frequency.Uncertainty, 2, "Hz"))
}

// rounded returns v to four digits.
func rounded(v float64) float64 {
	if v == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-3)
	return math.Round(v/step) * step
}

func controlName(by decisions.Control) string {
	return [...]string{"added capacitance", "how much the core covers", "the distance of a hand"}[by]
}

func controlLabel(by decisions.Control) string {
	return [...]string{"To add", "Covered", "Hand at"}[by]
}

func settingUnit(by decisions.Control) string { return [...]string{"F", "%", "m"}[by] }

func settingText(by decisions.Control, v float64) string {
	switch by {
	case decisions.ByCovered:
		return fmt.Sprintf("%s %% covered", quantity.Digits(100*v, 3))
	case decisions.ByHand:
		if v > 50 {
			return "nobody near"
		}
		return "a hand at " + wording.Distance(v)
	}
	if v == 0 {
		return "nothing added"
	}
	return quantity.FormatValue(v, 3, "F").String() + " added"
}

type jsonReached struct {
	jsonHead
	Target float64 `json:"target"`
	Unit   string  `json:"unit"`
	jsonReach
	jsonTold
}

// jsonReach is one way to reach a frequency.
type jsonReach struct {
	By        string         `json:"by"`
	Reachable bool           `json:"reachable"`
	Setting   jsonEstimate   `json:"setting"`
	Closest   *float64       `json:"closest_setting,omitempty"`
	At        jsonPrediction `json:"at"`
	Standard  []jsonStandard `json:"standard_values"`
}

type jsonStandard struct {
	Capacitance float64       `json:"capacitance"`
	Unit        string        `json:"unit"`
	Frequency   jsonFrequency `json:"frequency"`
}

// ReachJSON writes the same as one JSON object, SI throughout.
func ReachJSON(w io.Writer, r *model.Result, a decisions.Reached, parts []readings.Part, src Source) error {
	return writeJSON(w, jsonReached{jsonHead: head(src), Target: a.Target, Unit: "Hz",
		jsonReach: reached(&a, parts), jsonTold: src.told(r)})
}

func reached(a *decisions.Reached, parts []readings.Part) jsonReach {
	out := jsonReach{By: [...]string{"added", "covered", "hand"}[a.By], Reachable: a.Reachable,
		Setting: estimate(&a.Setting), At: prediction(&a.At, parts), Standard: []jsonStandard{}}
	if !a.Reachable && a.At.Frequency.Determined {
		out.Closest = &a.Closest
	}
	for i, p := range a.Standard {
		out.Standard = append(out.Standard, jsonStandard{a.Values[i].Capacitance, "F", frequency(&p)})
	}
	return out
}

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
	return written(w, v, func(t *text, terse int) {
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
	})
}

// waysTable lists the ways, what each sets, and the frequency there.
func waysTable(a Ways) *Table {
	t := newTable(left("Way"), left("setting"), left(""))
	for _, c := range a.Controls {
		way := [...]string{"added on the top", "core " + c.Start.Core + ", covered", "hand at"}[c.By]
		switch {
		case !c.At.Frequency.Determined:
			t.row(way, notDetermined, "")
		case !c.Reachable:
			t.row(way, "out of reach", "at the closest, "+settingText(c.By, c.Closest)+", "+frequencyText(&c.At))
		case !c.Setting.Determined:
			t.row(way, openSetting(&c), "")
		default:
			t.row(way, quantity.Format(c.Setting.Value, c.Setting.Uncertainty, settingUnit(c.By)).String(), extrapolatedText(&c.At))
		}
		if c.By == decisions.ByAdded {
			for _, p := range a.AtHand {
				t.row("parts at hand", wording.State(p.State, a.Parts), frequencyText(&p))
			}
			for k := range c.Standard {
				if p := &c.Standard[k]; p.Frequency.Determined {
					t.row("standard value", quantity.FormatValue(c.Values[k].Capacitance, 2, "F").String(), frequencyText(p))
				}
			}
		}
	}
	for _, d := range a.Redrawn {
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
	return "extrapolated: " + outside(&p.Outside[0])
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
		Ways:   each(a.Controls, func(c *decisions.Reached) jsonReach { return reached(c, a.Parts) }),
		AtHand: predictionsJSON(a.AtHand, a.Parts), jsonTold: src.told(r)}
	out.Redrawn = each(a.Redrawn, func(d *Redrawn) jsonRedrawn {
		j := jsonRedrawn{Quantity: d.Name, Present: d.Present, Reachable: d.Reachable, Setting: estimate(&d.Setting),
			At: prediction(&d.At, a.Parts), Problem: d.Problem}
		if !d.Reachable {
			j.Closest = number(d.Closest)
		}
		return j
	})
	return writeJSON(w, out)
}
