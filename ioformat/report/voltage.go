package report

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/voltage"
)

// stressed is a state with where its voltage stands.
type stressed struct {
	name string
	*voltage.Stress
	heats []estimation.Heat
}

// Voltages tells where the voltage v [V] at the top stands in some states, as far as that is
// known: what is lost where, and which gaps have been seen to spark at such voltages, are nil
// where nothing tells.
type Voltages struct {
	Table           *Table
	Heats, Cautions []string
}

// NewVoltages words predictions whose states name the parts given.
func NewVoltages(list []decisions.Prediction, parts []readings.Part, v float64) (out Voltages, ok bool) {
	states := (&Predictions{Parts: parts}).stressed(list)
	if len(states) == 0 {
		return out, false
	}
	return Voltages{voltageTable(states, v), heats(states, v), cautions(states, v)}, true
}

// voltages writes where the voltage v [V] at the top stands in some states, and cautions.
func (t *text) voltages(list []stressed, v float64, full bool) {
	named := v > 0
	if len(list) == 0 || !named && !full {
		return
	}
	if !named {
		v = 1e3
	}
	t.section(fmt.Sprintf("Voltage with %s at the top", quantity.FormatValue(v, 3, "V")), "peak values, lowest mode")
	t.table(voltageTable(list, v))
	for _, s := range heats(list, v) {
		t.under(s)
	}
	if full {
		t.under("along the winding:")
		t.table(alongTable(list, v))
	}
	if !named {
		return
	}
	for _, s := range cautions(list, v) {
		t.bullet(s)
	}
}

// tableOf has a column for each state beside the first.
func tableOf(first Column, list []stressed) *Table {
	return newTable(append([]Column{first}, each(list, func(s *stressed) Column { return right(s.name) })...)...)
}

// voltageTable says where the voltage stands in each state.
func voltageTable(list []stressed, v float64) *Table {
	tab := tableOf(left(""), list)
	row := func(name string, cell func(s *voltage.Stress) string) {
		cells, any := []string{name}, false
		for _, s := range list {
			c := cell(s.Stress)
			cells, any = append(cells, c), any || c != ""
		}
		if any {
			tab.row(cells...)
		}
	}
	volts := func(x float64) string { return quantity.FormatValue(x, 3, "V").String() }
	row("largest gradient", func(s *voltage.Stress) string {
		return volts(s.Gradient*v/1e2) + "/cm"
	})
	row("between turns", func(s *voltage.Stress) string { return volts(s.Turns * v) })
	for _, k := range []voltage.Kind{voltage.BetweenBeads, voltage.CoreToWinding, voltage.ToPrimary, voltage.ToRing, voltage.ToPlate, voltage.ToBox} {
		row(between[k].name, func(s *voltage.Stress) string {
			g, ok := s.Widest(k)
			if !ok {
				return ""
			}
			return volts(g.Share*v) + " over " + quantity.FormatValue(g.Distance, 2, "m").String()
		})
	}
	row("current at the grounded end", func(s *voltage.Stress) string {
		return quantity.FormatValue(s.Current*v, 3, "A").String()
	})
	row("in the wire", func(s *voltage.Stress) string {
		if s.Density == 0 {
			return ""
		}
		return quantity.FormatValue(s.Density*v/1e6, 3, "A").String() + "/mm²"
	})
	return tab
}

// heats words what is lost where in each state.
func heats(list []stressed, v float64) (words []string) {
	for _, s := range list {
		if len(s.heats) > 0 {
			words = append(words, "power lost, "+s.name+", ringing steadily: "+strings.Join(each(s.heats, func(h *estimation.Heat) string {
				return nobreak(wording.Loss(&quantities.Estimate{Key: h.Key}) + " " + quantity.FormatValue(h.PerSquare*v*v, 2, "W").String())
			}), ", "))
		}
	}
	return words
}

// alongTable has the voltage along the winding, at ten heights.
func alongTable(list []stressed, v float64) *Table {
	tab := tableOf(right("height"), list)
	heights := list[0].Profile.Height
	length := heights[len(heights)-1]
	for k := range 11 {
		z := length * float64(k) / 10
		row := []string{quantity.FormatValue(z, 3, "m").String()}
		for _, s := range list {
			row = append(row, quantity.FormatValue(s.At(z)*v, 3, "V").String())
		}
		tab.row(row...)
	}
	return tab
}

// between are the kinds of gaps: what JSON calls the two sides, and their name for people.
var between = [...]struct{ apart, name string }{
	voltage.BetweenTurns: {"turns", "between turns"}, voltage.BetweenBeads: {"beads", "between beads, most"},
	voltage.CoreToWinding: {"core and winding", "core to winding, most"}, voltage.ToPrimary: {"coil and primary", "coil to primary, worst"},
	voltage.ToRing: {"coil and ring", "coil to ring, worst"}, voltage.ToPlate: {"coil and plate", "coil to plate, worst"},
	voltage.ToBox: {"coil and box", "coil to box, worst"},
}

// cautions says which gaps have been seen to spark at such voltages, and what that doesn't
// cover.
func cautions(list []stressed, v float64) (out []string) {
	for _, s := range list {
		var words []string
		gaps := s.MaySpark(v)
		for i, g := range gaps {
			if i == 1 {
				words = append(words, fmt.Sprintf("and %d more", len(gaps)-i))
				break
			}
			words = append(words, gapCaution(g, v))
		}
		if len(words) > 0 {
			out = append(out, "may spark, "+s.name+": "+strings.Join(words, "; "))
		}
	}
	return append(out, fmt.Sprintf("the top may spark over %s of air to a point, and farther in a train of sparks", quantity.FormatValue(voltage.Reach(v), 2, "m")),
		"by sparking distances of needle points (AIEE), less a quarter for radio frequency (Peek); voids in potting spark first; IEC 60664 ends at 1 kV; what is not named may spark too")
}

// gapCaution words a gap that may spark.
func gapCaution(g voltage.Gap, v float64) string {
	volts := quantity.FormatValue(g.Share*v, 3, "V").String()
	limit := quantity.FormatValue(g.Spark(), 2, "V").String()
	switch g.Kind {
	case voltage.BetweenTurns:
		return fmt.Sprintf("%s between turns: air beside the wire has been seen to spark from %s", volts, limit)
	case voltage.BetweenBeads:
		return fmt.Sprintf("%s between beads %d and %d: %s of air has been seen to spark from %s", volts, g.Lower, g.Lower+1, quantity.FormatValue(g.Distance, 2, "m"), limit)
	}
	words, _, _ := strings.Cut(between[g.Kind].name, ",")
	return fmt.Sprintf("%s from %s: %s of air has been seen to spark from %s", volts, words, quantity.FormatValue(g.Distance, 2, "m"), limit)
}

// drawnStress is where the voltage stands in a coil as drawn, bare and with its core.
func drawnStress(d *drawing.Drawn) []stressed {
	bare := voltage.Of(d.Drawing.Coil, d.Bare, false)
	list := []stressed{{name: "bare", Stress: &bare}}
	if d.Core != nil {
		with := voltage.Of(d.Drawing.Coil, d.Core.Mode, true)
		list = append(list, stressed{name: "core " + coreName(d.Drawing.Core), Stress: &with})
	}
	return list
}

type jsonVoltage struct {
	State     string     `json:"state"`
	Top       float64    `json:"top_voltage"`
	Gradient  float64    `json:"largest_gradient"`
	At        float64    `json:"largest_gradient_at"`
	Turns     float64    `json:"between_turns"`
	Gaps      []jsonGap  `json:"gaps"`
	Current   float64    `json:"base_current"`
	Density   *float64   `json:"current_density,omitempty"`
	MaySpark  []string   `json:"may_spark"`
	Beads     []float64  `json:"beads"`
	Profile   []jsonAt   `json:"profile"`
	SparkFrom float64    `json:"spark_reach"`
	Lost      []jsonHeat `json:"lost_power,omitempty"`
}

// jsonAt is a place of the winding.
type jsonAt struct {
	Height  float64 `json:"height"`
	Voltage float64 `json:"voltage"`
	Current float64 `json:"current"`
}

type jsonHeat struct {
	By    string  `json:"by"`
	Core  string  `json:"core,omitempty"`
	Power float64 `json:"power"`
}

type jsonGap struct {
	Between   string  `json:"between"`
	LowerBead int     `json:"lower_bead,omitempty"`
	Height    float64 `json:"height"`
	Voltage   float64 `json:"voltage"`
	Distance  float64 `json:"distance"`
}

// voltagesJSON returns the same with figures per kilovolt at the top; nil where no voltage
// is given.
func voltagesJSON(list []stressed, v float64) (out []jsonVoltage) {
	if v == 0 {
		return nil
	}
	const kV = 1e3
	for _, s := range list {
		j := jsonVoltage{State: s.name, Top: v, Gradient: kV * s.Gradient, At: s.GradientAt, Turns: kV * s.Turns, Current: kV * s.Stress.Current,
			Profile: []jsonAt{}, SparkFrom: voltage.Reach(v), Beads: each(s.Stress.Beads, func(b *float64) float64 { return kV * *b }),
			Lost: each(s.heats, func(h *estimation.Heat) jsonHeat {
				return jsonHeat{By: strings.TrimPrefix(h.Name, "quality_"), Core: h.Core, Power: kV * kV * h.PerSquare}
			}),
			Gaps: each(s.Gaps, func(g *voltage.Gap) jsonGap {
				return jsonGap{between[g.Kind].apart, g.Lower, g.Height, kV * g.Share, g.Distance}
			}),
			MaySpark: each(s.Stress.MaySpark(v), func(g *voltage.Gap) string { return gapCaution(*g, v) })}
		if s.Density > 0 {
			d := kV * s.Density
			j.Density = &d
		}
		for k, z := range s.Profile.Height {
			j.Profile = append(j.Profile, jsonAt{z, kV * s.Profile.Voltage[k], kV * s.Profile.Base * s.Profile.Current[k]})
		}
		out = append(out, j)
	}
	return out
}
