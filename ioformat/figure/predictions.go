package figure

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Predictions shows predicted frequencies, with the 95 % interval of one new
// reading, over the readings and the fitted curves. Parts lists what states
// refer to, the log's own first.
func Predictions(r *model.Result, list []decisions.Prediction, parts []readings.Part) Figure {
	var conditions []readings.Condition
	for _, p := range list {
		conditions = append(conditions, p.State.Condition())
	}
	v := look(r, conditions...)
	f := Figure{Name: "predictions", Title: "Where do the predictions lie beside the readings?"}
	var reach span
	reach.add(0)
	read, _ := split(v.readings, func(r *reading) bool { return quantities.Finite(r.added) })
	for _, r := range read {
		reach.add(r.added)
	}
	var marks []chart.Point
	for i, p := range list {
		added := v.top(p.State, parts)
		if !p.Frequency.Determined || !quantities.Finite(added) {
			continue
		}
		reach.add(added)
		m := chart.Point{XY: chart.XY{X: added, Y: p.Frequency.Value}, Style: v.style(p.State.Condition()),
			Low: p.NewReading[0], High: p.NewReading[1], Ring: true}
		if len(list) <= mostPredictions {
			m.Label = strconv.Itoa(i + 1)
		}
		marks = append(marks, m)
	}
	f.Notes, f.Table = predictionNotes(list, parts), predictionTable(list, parts)
	f.Alt = fmt.Sprintf("Predicted frequencies of %s, over %s and the fitted curves. %s", quantity.Count(len(marks), "state"),
		quantity.Count(len(read), "reading"), strings.Join(f.Notes, " "))
	if len(marks) == 0 {
		f.Panels = []chart.Panel{{Empty: "None of these frequencies is determined by the readings."}}
		return f
	}
	for i := range read {
		plain := *read[i].ReadingResult
		plain.Flagged = false // here a ring marks a prediction
		read[i].ReadingResult = &plain
	}
	if reach.high == 0 {
		f.Panels = []chart.Panel{v.predictedByCondition(read, list)}
		f.Keys = append(v.keys(read), chart.Key{Text: "predicted", Style: chart.Ink, Ring: true, Mark: true})
		f.Notes = append(f.Notes, v.remarks()...)
		return tidied(f)
	}
	d := v.curves(reach.high, conditions...)
	for i := range read {
		d.point(read[i].point(read[i].added, read[i].Frequency))
	}
	for _, m := range marks {
		d.point(m)
	}
	f.Panels = []chart.Panel{d.panel()}
	f.Keys = append(d.keys(), v.marksBeside(read)...)
	f.Keys = append(f.Keys, chart.Key{Text: "fit, with 95 % band of the mean", Style: chart.Ink, Line: true, Band: true},
		chart.Key{Text: "predicted, with 95 % interval of one new reading", Style: chart.Ink, Ring: true, Bar: true, Mark: true})
	f.Notes = append(append(f.Notes, d.notes(v)...), v.remarks()...)
	return tidied(f)
}

// predictedByCondition is the panel where nothing is added anywhere: the readings in a row
// for each condition, and the predictions, a mark for each in list, in theirs.
func (v *view) predictedByCondition(read []reading, list []decisions.Prediction) chart.Panel {
	for _, p := range list {
		if c := p.State.Condition(); !slices.Contains(v.conditions, c) {
			v.conditions = append(v.conditions, c)
		}
	}
	p, u := conditionPanel(v.conditionRows(read))
	x := span{}
	x.add(u.ToSI(p.X.Min), u.ToSI(p.X.Max))
	for i, q := range list {
		if !q.Frequency.Determined {
			continue
		}
		row := float64(len(v.conditions) - 1 - slices.Index(v.conditions, q.State.Condition()))
		d := chart.Point{XY: chart.XY{X: u.FromSI(q.Frequency.Value), Y: row}, Style: v.style(q.State.Condition()), Ring: true}
		if len(list) <= mostPredictions {
			d.Label = strconv.Itoa(i + 1)
		}
		p.Points = append(p.Points, d)
		x.add(q.Frequency.Value)
	}
	p.X = chart.Over(p.X.Label, u.FromSI(x.low), u.FromSI(x.high), 6)
	return p
}

// mostPredictions is the number up to which predictions are named in a figure.
const mostPredictions = 12

// top returns the capacitance on the top in a state that may have parts beyond
// those of the log.
func (v *view) top(s readings.State, parts []readings.Part) float64 {
	own := s
	own.Parts = nil
	beyond := 0.0
	for _, p := range s.Parts {
		if p < len(v.result.Parts()) {
			own.Parts = append(own.Parts, p)
		} else {
			beyond += parts[p].Capacitance
		}
	}
	return v.added(own) + beyond
}

// predictionNotes lists the predictions by the numbers beside their marks.
func predictionNotes(list []decisions.Prediction, parts []readings.Part) (notes []string) {
	if len(list) > mostPredictions {
		return []string{fmt.Sprintf("%s: too many to name them here.", quantity.Count(len(list), "prediction"))}
	}
	for i, p := range list {
		what := "not determined by these readings"
		if p.Frequency.Determined {
			what = quantity.Format(p.Frequency.Value, p.Frequency.Uncertainty, "Hz").String()
		}
		if len(p.Outside) > 0 {
			what += ", beyond what was read"
		}
		notes = append(notes, fmt.Sprintf("%d: %s: %s.", i+1, wording.State(p.State, parts), what))
	}
	return notes
}

func predictionTable(list []decisions.Prediction, parts []readings.Part) chart.Table {
	t := chart.Table{Columns: []string{"", "state", "frequency", "95 % for one new reading", "remark"}}
	for i, p := range list {
		row := []string{strconv.Itoa(i + 1), wording.State(p.State, parts), quantity.Undetermined, "-", ""}
		if e := p.Frequency; e.Determined {
			u := quantity.UnitFor(e.Value, e.Uncertainty, "Hz")
			i := u.FormatInterval(p.NewReading[0], p.NewReading[1])
			row[2], row[3] = u.Format(e.Value, e.Uncertainty).String(), i.Low+" to "+i.High+" "+i.Unit
		}
		if len(p.Outside) > 0 {
			row[4] = "beyond what was read"
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
