package coilsheet

import (
	"strings"

	"fitcoil/ioformat/quantity"
)

// IsChange says whether a word such as "ball diameter=30mm" speaks of a
// quantity of the drawing.
func IsChange(word string) bool {
	name, _, ok := strings.Cut(word, "=")
	_, isEntry := find(normal(name))
	return ok && (isEntry || isWords(normal(name)))
}

func normal(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "_", " "))), " ")
}

// With returns a copy of s in which one quantity of the drawing is changed by a
// word such as "ball diameter=30mm", "beads=20" or "ring=grounded slit". A ± may follow the value;
// without one the new value is exact, since it is chosen, not measured. The
// error is a [quantity.Error].
func (s *Sheet) With(word string) (*Sheet, error) {
	c := *s
	if name, text, _ := strings.Cut(word, "="); isWords(normal(name)) {
		return &c, c.say(normal(name), quantity.Trim(text))
	}
	e, text, err := cut(word)
	if err != nil {
		return nil, err
	}
	if isGauge(e, text) {
		d, err := gaugeDiameter(gaugeText(text), quantity.Point)
		if err != nil {
			return nil, err
		}
		*e.field(&c) = Given{Known: true, Value: d, Text: gaugeText(text) + " AWG"}
		return &c, nil
	}
	q, err := quantity.Form{Dimension: e.dimension}.ParseUncertain(text)
	if err == nil {
		err = e.check(q.Quantity)
	}
	if err != nil {
		return nil, err
	}
	*e.field(&c) = Given{Known: true, Value: q.Value, Uncertainty: q.PlusMinus, Text: written(q.Quantity)}
	return &c, nil
}

// cut splits a word into its quantity and the text of its value.
func cut(word string) (e entry, text string, err error) {
	name, text, ok := strings.Cut(word, "=")
	if !ok {
		return e, "", &quantity.Error{Read: word, Expected: "quantity=value, such as \"ball diameter=30mm\""}
	}
	e, ok = find(normal(name))
	if !ok {
		return e, "", unknownQuantity(normal(name))
	}
	return e, quantity.Trim(text), nil
}

// Sweep is a quantity of the drawing that goes from one value to another.
type Sweep struct {
	Name     string
	From, To float64 // SI
	Unit     quantity.Unit
	entry    entry
}

// ParseSweep reads a word such as "bead spacing=1mm..8mm". The error is a
// [quantity.Error].
func ParseSweep(word string) (Sweep, error) {
	e, text, err := cut(word)
	if err != nil {
		return Sweep{}, err
	}
	left, right, ok := strings.Cut(text, "..")
	if !ok {
		return Sweep{}, &quantity.Error{Read: text, Expected: "two values joined by .., such as 1mm..8mm"}
	}
	f := quantity.Form{Dimension: e.dimension}
	to, err := f.Parse(right)
	if err != nil {
		return Sweep{}, err
	}
	if left = quantity.Trim(left); left != "" && '0' <= left[len(left)-1] && left[len(left)-1] <= '9' {
		f.Unit = to.Unit
	}
	from, err := f.Parse(left)
	for _, q := range []quantity.Quantity{from, to} {
		if err == nil {
			err = e.check(q)
		}
	}
	if err == nil && from.Value >= to.Value {
		err = &quantity.Error{Read: text, Expected: "the smaller value first"}
	}
	if err != nil {
		return Sweep{}, err
	}
	return Sweep{Name: e.name, From: from.Value, To: to.Value, Unit: to.Unit, entry: e}, nil
}

// At returns a copy of s with the quantity that w sweeps at the SI value x. A
// count of things is rounded.
func (w Sweep) At(s *Sheet, x float64) *Sheet {
	c := *s
	if w.entry.whole {
		x = float64(int(x + 0.5))
	}
	*w.entry.field(&c) = Given{Known: true, Value: x, Text: w.Unit.Format(x, 0).String()}
	return &c
}

// Whole tells whether the quantity is a count of things.
func (w Sweep) Whole() bool { return w.entry.whole }

// Changeable lists what a maker changes of a coil to reach a frequency, as far as s knows
// it: turns, winding length, ball diameter, and the beads where a core is in. From and To
// are the value now.
func (s *Sheet) Changeable(core bool) (list []Sweep) {
	names := []string{"turns", "winding length", "ball diameter"}
	if core {
		names = append(names, "bead count")
	}
	for _, name := range names {
		e, _ := find(name)
		v := e.field(s)
		if !v.Known {
			continue
		}
		w := Sweep{Name: name, From: v.Value, To: v.Value, entry: e}
		if e.dimension == quantity.Length {
			w.Unit, _ = quantity.ParseUnit("mm", quantity.Length)
		}
		list = append(list, w)
	}
	return list
}
