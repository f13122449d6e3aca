package known

import (
	"math"
	"strings"
	"testing"

	"fitcoil/model/quantities"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, name, core, part string
		value, uncertainty     float64
	}{
		{"inductance=770uH±2%", quantities.Inductance, "", "", 770e-6, 15.4e-6},
		{"L=770uH±2%", quantities.Inductance, "", "", 770e-6, 15.4e-6},
		{"C = 3.5 pF +/- 0.1 pF", quantities.EffectiveCapacitance, "", "", 3.5e-12, 0.1e-12},
		{"core_gain:rod=1.6±0.1", quantities.CoreGain, "rod", "", 1.6, 0.1},
		{"gain:rod=1.6±10%", quantities.CoreGain, "rod", "", 1.6, 0.16},
		{"f=2.5MHz±1kHz", quantities.BareFrequency, "", "", 2.5e6, 1e3},
		// A part's ± is a bound taken as 95 %: its standard uncertainty is a 1.96th.
		{"lantern roof=2.8pF±5%", quantities.PartCapacitance, "", "lantern roof", 2.8e-12, 0.14e-12 / 1.96},
	} {
		v, err := Parse(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if v.Name != c.name || v.Core != c.core || v.Part != c.part ||
			!(math.Abs(v.Value/c.value-1) <= 1e-12) || !(math.Abs(v.Uncertainty/c.uncertainty-1) <= 1e-9) {
			t.Errorf("%s: %+v", c.text, v)
		}
	}
}

// What can't be weighed, or isn't clear, is refused with what was expected.
func TestParseRefuses(t *testing.T) {
	for text, expected := range map[string]string{
		"770uH":                 "NAME=VALUE",
		"inductance=770uH":      "uncertainty",
		"inductance=770uH±0%":   "uncertainty",
		"inductance=770±2%":     "inductance",
		"inductance=770pF±2%":   "inductance",
		"inductance=-770uH±2%":  "above zero",
		"core_gain=1.6±0.1":     "core",
		"roof=1F±5%":            "value from", // beyond what any bench has
		"inductance=20000H±2%":  "value from",
		"f=0.5Hz±1%":            "value from",
		"inductance:rod=1mH±2%": "inductance",
	} {
		if v, err := Parse(text); err == nil || !strings.Contains(err.Error(), expected) {
			t.Errorf("%s: %+v, %v, want a word on %q", text, v, err, expected)
		}
	}
}
