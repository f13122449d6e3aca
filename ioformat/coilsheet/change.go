package coilsheet

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/floats/scalar"

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
	if name, text, _ := strings.Cut(word, "="); isWords(normal(name)) {
		c := *s
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
		return s.with(e.name, Given{Known: true, Value: d, Text: gaugeText(text) + " AWG"}), nil
	}
	q, err := quantity.Form{Dimension: e.dimension}.ParseUncertain(text)
	if err == nil {
		err = e.check(q.Quantity)
	}
	if err != nil {
		return nil, err
	}
	return s.with(e.name, Given{Known: true, Value: q.Value, Uncertainty: q.PlusMinus, Text: written(q.Quantity)}), nil
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
	if w.entry.whole {
		x = math.Floor(x + 0.5)
	}
	return s.with(w.Name, Given{Known: true, Value: x, Text: w.Unit.Format(x, 0).String()})
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
		v := s.given[name]
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

// Values returns n values from w.From to w.To, evenly spaced [SI]; of a count
// of things, the whole numbers among them.
func (w Sweep) Values(n int) []float64 {
	if w.entry.whole {
		n = min(n, int(math.Round(w.To-w.From))+1)
	}
	values := floats.Span(make([]float64, max(n, 2)), w.From, w.To)
	for i := range values {
		switch {
		case w.entry.whole:
			values[i] = math.Round(values[i])
		case i > 0 && i < len(values)-1: // as it is told: four digits are a setting, sixteen are none
			values[i] = w.Unit.ToSI(toDigits(w.Unit.FromSI(values[i]), 4))
		}
	}
	return values
}

// toDigits rounds x to n significant digits.
func toDigits(x float64, n int) float64 {
	if x == 0 {
		return 0
	}
	return scalar.Round(x, n-1-int(math.Floor(math.Log10(math.Abs(x)))))
}

// Now returns the value that s has; NaN for none.
func (w Sweep) Now(s *Sheet) float64 {
	if v := s.given[w.Name]; v.Known {
		return v.Value
	}
	return math.NaN()
}

// Base is the SI unit of the quantity, "" for a plain number.
func (w Sweep) Base() string { return w.entry.dimension.Base() }
