package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// view is a result as the figures look at it.
type view struct {
	result     *model.Result
	readings   []reading
	conditions []model.Condition // in the order of the readings
	left       int               // readings that are too many to be shown
}

// mostShown is the number of readings from which on only some are shown: more
// marks than that no reader can tell apart.
const mostShown = 4000

// reading is one reading with where it stands in a figure.
type reading struct {
	*model.ReadingResult
	order     int         // in the log, from 1
	added     float64     // F, NaN where the fit can't say
	condition chart.Style // index in view.conditions: its colour and shape in all figures
}

func look(r *model.Result) *view {
	v := &view{result: r}
	step := 1 + (len(r.Readings)-1)/mostShown
	for i := range r.Readings {
		o := &r.Readings[i]
		if i%step != 0 && !o.Flagged {
			v.left++
			continue
		}
		v.readings = append(v.readings, reading{o, i + 1, v.added(o.State), v.style(o.State.Condition())})
	}
	return v
}

// thinned says so when not all readings are shown.
func (v *view) thinned() []string {
	if v.left == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Shown are %d of %d readings, taken at equal steps, and all that are suspect.", len(v.readings), len(v.readings)+v.left)}
}

// added returns the capacitance on the top in state s [F]; NaN with a part
// whose capacitance the readings leave open.
func (v *view) added(s model.State) float64 {
	for _, p := range s.Parts {
		part := v.result.Parts()[p]
		if part.Known {
			continue
		}
		if e := v.result.Find(model.PartCapacitance, "", part.Name, 0); e == nil || !e.Determined {
			return math.NaN()
		}
	}
	return v.result.Added(s)
}

// style returns the style of a condition, which is new if need be.
func (v *view) style(c model.Condition) chart.Style {
	i := slices.Index(v.conditions, c)
	if i < 0 {
		i = len(v.conditions)
		v.conditions = append(v.conditions, c)
	}
	return chart.Style(i)
}

// point marks a reading at a place.
func (r *reading) point(x, y float64) chart.Point {
	p := chart.Point{XY: chart.XY{X: x, Y: y}, Style: r.condition, Hollow: !r.Use, Ring: r.Flagged}
	if r.Flagged {
		p.Label = "line " + strconv.Itoa(r.Line)
	}
	return p
}

// remark is what a table says in the end of the row of a reading.
func (r *reading) remark() string {
	switch {
	case r.Flagged:
		return "suspect"
	case !r.Use:
		return "left out of the fit"
	}
	return ""
}

// keys explains the marks of the readings given.
func (v *view) keys(shown []reading) (keys []chart.Key) {
	var hollow, ring bool
	used := make([]bool, len(v.conditions))
	for _, r := range shown {
		used[r.condition] = true
		hollow = hollow || !r.Use
		ring = ring || r.Flagged
	}
	for i, c := range v.conditions {
		if used[i] {
			keys = append(keys, chart.Key{Text: wording.Condition(c), Style: chart.Style(i), Mark: true})
		}
	}
	return append(keys, stateKeys(hollow, ring)...)
}

// stateKeys explains hollow and ringed marks, where they occur.
func stateKeys(hollow, ring bool) (keys []chart.Key) {
	if hollow {
		keys = append(keys, chart.Key{Text: "left out of the fit", Style: chart.Faint, Mark: true, Hollow: true})
	}
	if ring {
		keys = append(keys, chart.Key{Text: "suspect", Ring: true})
	}
	return keys
}

// split parts readings into those with and those without a property.
func split(list []reading, has func(*reading) bool) (with, without []reading) {
	for i := range list {
		if has(&list[i]) {
			with = append(with, list[i])
		} else {
			without = append(without, list[i])
		}
	}
	return with, without
}
