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
	terse := 0
	if v.Full {
		terse = everything
	}
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
		t.point("Out of reach", fmt.Sprintf("the closest is %s, which gives %s", settingText(a.By, a.Closest),
			quantity.Format(a.At.Frequency.Value, a.At.Frequency.Uncertainty, "Hz")))
	}
	if !a.At.Frequency.Determined {
		t.point(controlLabel(a.By), notDetermined)
	}
	for i := range a.Standard {
		f := &a.Standard[i].Frequency
		if f.Determined {
			t.point("Standard value", fmt.Sprintf("%s gives %s", quantity.FormatValue(a.Values[i].Capacitance, 2, "F"),
				quantity.Format(f.Value, f.Uncertainty, "Hz")))
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
	for i := range a.Standard {
		out.Standard = append(out.Standard, jsonStandard{a.Values[i].Capacitance, "F", frequency(&a.Standard[i])})
	}
	return out
}
