package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// view is a result as the figures look at it.
type view struct {
	encoding
	result     *model.Result
	readings   []reading
	conditions []readings.Condition // in the order of the readings
	parts      []readings.Part      // under names that a figure has room for
	left       int                  // readings that are too many to be shown
}

// mostShown is the number of readings from which on only some are shown: more
// marks than that no reader can tell apart.
const mostShown = 4000

// reading is one reading with where it stands in a figure.
type reading struct {
	*estimation.ReadingResult
	order int         // in the log, from 1
	added float64     // F, NaN where the fit can't say
	style chart.Style // in all figures
}

func look(r *model.Result, further ...readings.Condition) *view {
	v := &view{result: r, encoding: newEncoding(r, further...), parts: slices.Clone(r.Parts())}
	names := readings.Names(v.parts)
	short, notes := lettered("Part", names)
	for i := range v.parts {
		v.parts[i].Name = short[names[i]]
		if v.parts[i].Name != names[i] {
			v.parts[i].Name = "part " + v.parts[i].Name
		}
	}
	v.long = append(v.long, notes...)
	step := 1 + (len(r.Readings)-1)/mostShown
	for i := range r.Readings {
		o := &r.Readings[i]
		if i%step != 0 && !o.Flagged {
			v.left++
			continue
		}
		c := o.State.Condition()
		if !slices.Contains(v.conditions, c) {
			v.conditions = append(v.conditions, c)
		}
		v.readings = append(v.readings, reading{o, i + 1, v.added(o.State), v.style(c)})
	}
	return v
}

// state words one, with cores and parts as figures call them.
func (v *view) state(s readings.State) string {
	s.Core = v.short(s.Condition()).Core
	return wording.State(s, v.parts)
}

// remarks says what a figure's colours, shapes and letters leave open, and when not all
// readings are shown.
func (v *view) remarks() []string {
	list := v.encoding.notes()
	if v.left > 0 {
		list = append(list, fmt.Sprintf("Shown are %d of %d readings, taken at equal steps, and all suspect ones.", len(v.readings), len(v.readings)+v.left))
	}
	return list
}

// added returns the capacitance on the top in state s [F]; NaN with a part
// whose capacitance the readings leave open.
func (v *view) added(s readings.State) float64 {
	for _, p := range s.Parts {
		part := v.result.Parts()[p]
		if part.Known {
			continue
		}
		if e := v.result.Find(quantities.Key{Name: quantities.PartCapacitance, Part: part.Name}); e == nil || !e.Determined {
			return math.NaN()
		}
	}
	return v.result.Added(s)
}

// point marks a reading at a place.
func (r *reading) point(x, y float64) chart.Point {
	p := chart.Point{XY: chart.XY{X: x, Y: y}, Style: r.style, Hollow: !r.Use, Ring: r.Flagged}
	if r.Flagged {
		p.Label = "line " + strconv.Itoa(r.Line)
	}
	return p
}

// keys explains the marks of the readings given.
func (v *view) keys(shown []reading) []chart.Key {
	return append(v.encoding.keys(shown), stateKeys(flags(shown))...)
}

// flags tells whether some readings were left out of the fit, and some are suspect.
func flags(list []reading) (hollow, ring bool) {
	for _, r := range list {
		hollow = hollow || !r.Use
		ring = ring || r.Flagged
	}
	return hollow, ring
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
