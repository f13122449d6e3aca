package known

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

type kind struct {
	name      string
	dimension quantity.Dimension
	ofCore    bool // which the word behind the colon names
}

// kinds lists what may be known, under the names of the JSON output.
func kinds() []kind {
	return []kind{
		{quantities.Inductance, quantity.Inductance, false},
		{quantities.EffectiveInductance, quantity.Inductance, false},
		{quantities.EffectiveCapacitance, quantity.Capacitance, false},
		{quantities.WindingCapacitance, quantity.Capacitance, false},
		{quantities.TopCapacitance, quantity.Capacitance, false},
		{quantities.BareFrequency, quantity.Frequency, false},
		{quantities.Impedance, quantity.Resistance, false},
		{quantities.LeadCapacitance, quantity.Capacitance, false},
		{quantities.Drift, quantity.Fraction, false},
		{quantities.HandOffset, quantity.Length, false},
		{quantities.HandExponent, quantity.Pure, false},
		{quantities.CoreGain, quantity.Pure, true},
		{quantities.CoreCapacitance, quantity.Capacitance, true},
		{quantities.InductanceWithCore, quantity.Inductance, true},
		{quantities.FrequencyRatio, quantity.Pure, true},
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
	long := map[string]string{"L": quantities.Inductance, "C": quantities.EffectiveCapacitance, "f": quantities.BareFrequency, "coupling": quantities.CouplingAtResonance,
		"lead": quantities.LeadCapacitance, "gain": quantities.CoreGain, "Gain": quantities.CoreGain, "GAIN": quantities.CoreGain}
	return cmp.Or(long[name], name)
}

// Parse reads one known value, "NAME=VALUE±UNCERTAINTY" with the units in the
// values; a name may carry the core it speaks of behind a colon. Any other name
// is that of a part in the log, whose capacitance it is.
func Parse(text string) (quantities.Known, error) {
	var none quantities.Known
	name, rest, ok := strings.Cut(text, "=")
	if !ok {
		return none, &quantity.Error{Read: text, Expected: "NAME=VALUE±UNCERTAINTY, as inductance=770uH±2%"}
	}
	name, label, _ := strings.Cut(quantity.Trim(name), ":")
	name = quantity.Trim(name)
	switch {
	case quantity.Trim(rest) == "":
		return none, &quantity.Error{Read: text, Expected: "a value with its uncertainty behind the =, as " + name + "=770uH±2%"}
	case name == "":
		return none, &quantity.Error{Read: text, Expected: "the name of a quantity or a part in front of the =, as inductance=770uH±2%"}
	}
	if err := quantity.DecimalComma(quantity.Trim(rest)); err != nil {
		return none, err
	}
	for _, k := range kinds() {
		if k.name != short(name) {
			continue
		}
		if k.ofCore != (label != "") {
			want := k.name
			if k.ofCore {
				want += ":NAME, with the name of the core"
			}
			return none, &quantity.Error{Read: text, Expected: want}
		}
		read := uncertain
		if k.name == quantities.LeadCapacitance || k.name == quantities.Drift { // which may be zero or below
			read = spread
		}
		q, err := read(rest, k.dimension)
		if err != nil {
			return none, err
		}
		return quantities.Known{Key: quantities.Key{Name: k.name, Core: label}, Value: q.Value, Uncertainty: q.PlusMinus}, nil
	}
	q, err := uncertain(rest, quantity.Capacitance)
	if err != nil {
		return none, fmt.Errorf("%q is taken as the name of a part: %w", name, err)
	}
	return quantities.Known{Key: quantities.Key{Name: quantities.PartCapacitance, Part: name}, Value: q.Value, Uncertainty: q.PlusMinus * benchlog.BoundToStandard}, nil
}

// uncertain reads a positive value with its ±.
func uncertain(text string, d quantity.Dimension) (quantity.Uncertain, error) {
	q, err := spread(text, d)
	if err == nil && q.Value <= 0 {
		err = &quantity.Error{Read: text, Expected: "a value above zero"}
	}
	if least, most := sane[d][0], sane[d][1]; err == nil && (q.Value < least || q.Value > most) {
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

// sane are the bounds [SI] beyond which no value of a dimension on a bench lies, by far.
var sane = [...][2]float64{
	quantity.Inductance:  {1e-11, 1e4},
	quantity.Capacitance: {1e-17, 1e-3},
	quantity.Frequency:   {1, 1e12},
	quantity.Resistance:  {1e-3, 1e12},
	quantity.Length:      {1e-5, 1e3},
	quantity.Pure:        {1e-6, 1e6},
}

// Sentence says that no reading depends on a known value, and what values the
// log could use: the same quantity of another core where there is one.
func Sentence(e *quantities.UnknownQuantityError) string {
	var alike, all []string
	for _, k := range kinds() {
		for _, c := range e.Could {
			if c.Name != k.name || slices.Contains(all, text(c)) {
				continue
			}
			all = append(all, text(c))
			if c.Name == e.Known.Name {
				alike = append(alike, text(c))
			}
		}
	}
	if len(alike) > 0 {
		all = alike
	}
	return fmt.Sprintf("--known %s: no reading of this log depends on it; values could be given for %s", text(e.Known), strings.Join(all, ", "))
}

// text writes the name of a quantity as Parse reads it.
func text(k quantities.Known) string {
	if k.Core == "" {
		return k.Name
	}
	return k.Name + ":" + k.Core
}
