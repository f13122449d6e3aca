package known

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// Value is one known value: of a quantity the fit reports, or of a part named
// in the log.
type Value struct {
	Quantity quantities.Known // when Part is ""
	Part     string           // name of the part
	// Capacitance and Uncertainty of the part [F], the latter standard.
	Capacitance, Uncertainty float64
}

type kind struct {
	name      string
	dimension quantity.Dimension
	label     string // what the word behind the colon names: "", "core" or "part"
}

// kinds lists what may be known, under the names of the JSON output.
func kinds() []kind {
	return []kind{
		{quantities.Inductance, quantity.Inductance, ""},
		{quantities.EffectiveInductance, quantity.Inductance, ""},
		{quantities.EffectiveCapacitance, quantity.Capacitance, ""},
		{quantities.WindingCapacitance, quantity.Capacitance, ""},
		{quantities.TopCapacitance, quantity.Capacitance, ""},
		{quantities.BareFrequency, quantity.Frequency, ""},
		{quantities.Impedance, quantity.Resistance, ""},
		{quantities.LeadCapacitance, quantity.Capacitance, ""},
		{quantities.Drift, quantity.Fraction, ""},
		{quantities.HandOffset, quantity.Length, ""},
		{quantities.HandExponent, quantity.Pure, ""},
		{quantities.CoreGain, quantity.Pure, "core"},
		{quantities.CoreCapacitance, quantity.Capacitance, "core"},
		{quantities.InductanceWithCore, quantity.Inductance, "core"},
		{quantities.FrequencyRatio, quantity.Pure, "core"},
	}
}

// Names lists what Parse knows by name.
func Names() (names []string) {
	for _, k := range kinds() {
		names = append(names, k.name)
	}
	return names
}

// short maps the letters of the trade, and other spellings, to names.
func short(name string) string {
	if long := strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(name), " ", "_"), "-", "_"); len(name) > 1 && slices.Contains(Names(), long) {
		return long
	}
	switch name {
	case "L":
		return quantities.Inductance
	case "C":
		return quantities.EffectiveCapacitance
	case "f":
		return quantities.BareFrequency
	case "coupling":
		return quantities.CouplingAtResonance
	case "lead":
		return quantities.LeadCapacitance
	case "gain", "Gain", "GAIN":
		return quantities.CoreGain
	}
	return name
}

// Parse reads one known value, "NAME=VALUE±UNCERTAINTY" with the units in the
// values; a name may carry the core it speaks of behind a colon. Any other name
// is that of a part.
func Parse(text string) (Value, error) {
	name, rest, ok := strings.Cut(text, "=")
	if !ok {
		return Value{}, &quantity.Error{Read: text, Expected: "NAME=VALUE±UNCERTAINTY, as inductance=770uH±2%"}
	}
	name, label, _ := strings.Cut(quantity.Trim(name), ":")
	name = quantity.Trim(name)
	switch {
	case quantity.Trim(rest) == "":
		return Value{}, &quantity.Error{Read: text, Expected: "a value with its uncertainty behind the =, as " + name + "=770uH±2%"}
	case name == "":
		return Value{}, &quantity.Error{Read: text, Expected: "the name of a quantity or a part in front of the =, as inductance=770uH±2%"}
	}
	if err := quantity.DecimalComma(quantity.Trim(rest)); err != nil {
		return Value{}, err
	}
	for _, k := range kinds() {
		if k.name != short(name) {
			continue
		}
		if (k.label == "") != (label == "") {
			want := k.name
			if k.label != "" {
				want += ":NAME, with the name of the " + k.label
			}
			return Value{}, &quantity.Error{Read: text, Expected: want}
		}
		read := uncertain
		if k.name == quantities.LeadCapacitance || k.name == quantities.Drift { // which may be zero or below
			read = spread
		}
		q, err := read(rest, k.dimension)
		if err != nil {
			return Value{}, err
		}
		known := quantities.Known{Key: quantities.Key{Name: k.name, Core: label}, Value: q.Value, Uncertainty: q.PlusMinus}
		return Value{Quantity: known}, nil
	}
	q, err := uncertain(rest, quantity.Capacitance)
	if err != nil {
		return Value{}, fmt.Errorf("%q is taken as the name of a part: %w", name, err)
	}
	return Value{Part: name, Capacitance: q.Value, Uncertainty: q.PlusMinus * benchlog.BoundToStandard}, nil
}

// uncertain reads a positive value with its ±.
func uncertain(text string, d quantity.Dimension) (quantity.Uncertain, error) {
	q, err := spread(text, d)
	if err == nil && q.Value <= 0 {
		err = &quantity.Error{Read: text, Expected: "a value above zero"}
	}
	if least, most := sane(d); err == nil && (q.Value < least || q.Value > most) {
		unit := d.Base()
		err = &quantity.Error{Read: text, Expected: fmt.Sprintf("a value from %v to %v", quantity.FormatValue(least, 1, unit), quantity.FormatValue(most, 1, unit)),
			Do: "check its exponent and its unit"}
	}
	return q, err
}

// spread reads a value with its ±.
func spread(text string, d quantity.Dimension) (quantity.Uncertain, error) {
	q, err := quantity.Form{Dimension: d}.ParseUncertain(text)
	if err != nil {
		return q, err
	}
	if !q.Stated || q.PlusMinus <= 0 {
		return q, &quantity.Error{Read: text, Expected: "a value with its uncertainty, as 770uH±2%",
			Do: "say how well the value is known, if only roughly"}
	}
	return q, nil
}

// sane returns the bounds [SI] beyond which no value of dimension d on a bench lies,
// by far.
func sane(d quantity.Dimension) (least, most float64) {
	switch d {
	case quantity.Inductance:
		return 1e-11, 1e4
	case quantity.Capacitance:
		return 1e-17, 1e-3
	case quantity.Frequency:
		return 1, 1e12
	case quantity.Resistance:
		return 1e-3, 1e12
	case quantity.Length:
		return 1e-5, 1e3
	}
	return 1e-6, 1e6
}
