package known

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// All that can be known is read in its own unit, under its name and under others for it.
func TestAllNames(t *testing.T) {
	for text, want := range map[string]quantities.Known{
		"inductance=1mH±1%":                 {Key: quantities.Key{Name: "inductance"}, Value: 1e-3, Uncertainty: 1e-5},
		"Effective Inductance=1mH±1%":       {Key: quantities.Key{Name: "effective_inductance"}, Value: 1e-3, Uncertainty: 1e-5},
		"effective-capacitance=4pF±0.1pF":   {Key: quantities.Key{Name: "effective_capacitance"}, Value: 4e-12, Uncertainty: 1e-13},
		"winding_capacitance=4pF±0.1pF":     {Key: quantities.Key{Name: "winding_capacitance"}, Value: 4e-12, Uncertainty: 1e-13},
		"top_capacitance=4pF±0.1pF":         {Key: quantities.Key{Name: "top_capacitance"}, Value: 4e-12, Uncertainty: 1e-13},
		"bare_frequency=2MHz±1kHz":          {Key: quantities.Key{Name: "bare_frequency"}, Value: 2e6, Uncertainty: 1e3},
		"characteristic_impedance=15kΩ±1kΩ": {Key: quantities.Key{Name: "characteristic_impedance"}, Value: 15e3, Uncertainty: 1e3},
		"lead=0pF±0.1pF":                    {Key: quantities.Key{Name: "lead_capacitance"}, Uncertainty: 1e-13},
		"lead_capacitance=-0.1pF±0.1pF":     {Key: quantities.Key{Name: "lead_capacitance"}, Value: -1e-13, Uncertainty: 1e-13},
		"drift=-100ppm±50ppm":               {Key: quantities.Key{Name: "drift"}, Value: -1e-4, Uncertainty: 5e-5},
		"hand_offset=5cm±1cm":               {Key: quantities.Key{Name: "hand_offset"}, Value: 0.05, Uncertainty: 0.01},
		"hand_exponent=1.2±0.1":             {Key: quantities.Key{Name: "hand_exponent"}, Value: 1.2, Uncertainty: 0.1},
		"Gain : rod = 1.5±0.1":              {Key: quantities.Key{Name: "core_gain", Core: " rod "}, Value: 1.5, Uncertainty: 0.1},
		"core_capacitance:rod=0.2pF±50%":    {Key: quantities.Key{Name: "core_capacitance", Core: "rod"}, Value: 2e-13, Uncertainty: 1e-13},
		"inductance_with_core:rod=2mH±1%":   {Key: quantities.Key{Name: "inductance_with_core", Core: "rod"}, Value: 2e-3, Uncertainty: 2e-5},
		"frequency_ratio:rod=0.7±0.1":       {Key: quantities.Key{Name: "frequency_ratio", Core: "rod"}, Value: 0.7, Uncertainty: 0.1},
		"c=4pF±1.96%":                       {Key: quantities.Key{Name: "part_capacitance", Part: "c"}, Value: 4e-12, Uncertainty: 0.04e-12},
	} {
		got, err := Parse(text)
		got.Core = map[bool]string{true: " rod ", false: got.Core}[want.Core == " rod " && got.Core != ""]
		if err != nil || got.Key != want.Key || math.Abs(got.Value-want.Value) > 1e-12*math.Abs(want.Value) || math.Abs(got.Uncertainty/want.Uncertainty-1) > 1e-9 {
			t.Errorf("%s: %+v, %v, want %+v", text, got, err, want)
		}
	}
	if n := Names(); len(n) != 15 || n[0] != "inductance" || !slices.Contains(n, "drift") {
		t.Errorf("%q", n)
	}
	for _, text := range []string{"inductance=10000H±1%", "inductance=0.01nH±1%", "roof=1000uF±1%", "roof=0.01fF±1%", "f=1Hz±1%", "f=1000GHz±1%", "characteristic_impedance=0.001Ω±1%", "characteristic_impedance=1000000MΩ±1%",
		"hand_offset=0.01mm±1%", "hand_offset=1000m±1%", "hand_exponent=1e-6±1%", "hand_exponent=1e6±1%"} { // at the bounds
		if _, err := Parse(text); err != nil {
			t.Errorf("%s: %v", text, err)
		}
	}
	const uncertainty = ", expected a value with its uncertainty, as 770uH±2%; say how well the value is known, if only roughly"
	for text, want := range map[string]string{
		"770uH":                             `read "770uH", expected NAME=VALUE±UNCERTAINTY, as inductance=770uH±2%`,
		"inductance= ":                      `read "inductance= ", expected a value with its uncertainty behind the =, as inductance=770uH±2%`,
		" =5pF":                             `read " =5pF", expected the name of a quantity or a part in front of the =, as inductance=770uH±2%`,
		"inductance=1,5mH±1%":               `read "1,5mH±1%", expected a point as decimal mark on the command line; write 1.5mH±1%`,
		"gain=1.5±0.1":                      `read "gain=1.5±0.1", expected core_gain:NAME, with the name of the core`,
		"inductance:rod=1mH±1%":             `read "inductance:rod=1mH±1%", expected inductance`,
		"inductance=1mH":                    `read "1mH"` + uncertainty,
		"inductance=1mH±0%":                 `read "1mH±0%"` + uncertainty,
		"drift=0ppm±0ppm":                   `read "0ppm±0ppm"` + uncertainty,
		"inductance=-1mH±1%":                `read "-1mH±1%", expected a value above zero`,
		"inductance=0mH±1mH":                `read "0mH±1mH", expected a value above zero`,
		"inductance=20000H±1%":              `read "20000H±1%", expected a value from 0.01 nH to 10000 H; check its exponent and its unit`,
		"inductance=1e-12H±1%":              `read "1e-12H±1%", expected a value from 0.01 nH to 10000 H; check its exponent and its unit`,
		"roof=1F±1%":                        `"roof" is taken as the name of a part: read "1F±1%", expected a value from 0.01 fF to 1000 µF; check its exponent and its unit`,
		"f=0.5Hz±1%":                        `read "0.5Hz±1%", expected a value from 1 Hz to 1000 GHz; check its exponent and its unit`,
		"characteristic_impedance=1e13Ω±1%": `read "1e13Ω±1%", expected a value from 1 mΩ to 1000000 MΩ; check its exponent and its unit`,
		"hand_offset=2000m±1%":              `read "2000m±1%", expected a value from 10 µm to 1000 m; check its exponent and its unit`,
		"hand_exponent=1e7±1%":              `read "1e7±1%", expected a value from 1e-6 to 1e6; check its exponent and its unit`,
	} {
		if _, err := Parse(text); err == nil || err.Error() != want {
			t.Errorf("%s: %v\nwant %s", text, err, want)
		}
	}
}

// A known value that no reading depends on names what could have been given.
func TestSentenceNamesWhatCould(t *testing.T) {
	of := func(name, core string) quantities.Known {
		return quantities.Known{Key: quantities.Key{Name: name, Core: core}}
	}
	could := []quantities.Known{of(quantities.CoreGain, "rod"), of(quantities.Inductance, ""), of(quantities.CoreGain, "rod"), of(quantities.CoreCapacitance, "rod"), of(quantities.CoreGain, "beads"), of(quantities.HandStrength, "")}
	if got, want := Sentence(&quantities.UnknownQuantityError{Known: of(quantities.CoreGain, "stick"), Could: could}), "--known core_gain:stick: no reading of this log depends on it; values could be given for core_gain:rod, core_gain:beads"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := Sentence(&quantities.UnknownQuantityError{Known: of(quantities.HandOffset, ""), Could: could}), "--known hand_offset: no reading of this log depends on it; values could be given for inductance, core_gain:rod, core_gain:beads, core_capacitance:rod"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := Sentence(&quantities.UnknownQuantityError{Known: of(quantities.Drift, ""), Could: could[:2]}), "--known drift: no reading of this log depends on it; values could be given for inductance, core_gain:rod"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := Sentence(&quantities.UnknownQuantityError{Known: of(quantities.CoreCapacitance, "stick"), Could: could}), "--known core_capacitance:stick: no reading of this log depends on it; values could be given for core_capacitance:rod"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What is to be found out is named by letters, by words of the trade, or as JSON names it.
func TestMeasurands(t *testing.T) {
	key := func(name, core, part string, hand float64) quantities.Estimate {
		return quantities.Estimate{Key: quantities.Key{Name: name, Core: core, Part: part, Hand: hand}}
	}
	r := &model.Result{Result: &estimation.Result{Parameters: []quantities.Estimate{key(quantities.CoreGain, "rod", "", 0), key(quantities.CoreGain, "Beads", "", 0), key(quantities.PartCapacitance, "", "spike", 0)},
		Derived: []quantities.Estimate{key(quantities.EffectiveInductance, "", "", 0), key(quantities.EffectiveCapacitance, "", "", 0), key(quantities.HandFrequencyDrop, "", "", 0.1), key(quantities.CouplingAtResonance, "rod", "", 0), key(quantities.BareFrequency, "", "", 0)}}}
	for text, want := range map[string]quantities.Key{
		"L": {Name: quantities.EffectiveInductance}, "C": {Name: quantities.EffectiveCapacitance}, "f": {Name: quantities.BareFrequency}, "gain": {Name: quantities.CoreGain, Core: "rod"}, "gain:beads": {Name: quantities.CoreGain, Core: "Beads"}, " Gain:ROD ": {Name: quantities.CoreGain, Core: "rod"},
		"hand": {Name: quantities.HandFrequencyDrop, Hand: 0.1}, "part_capacitance:spike": {Name: quantities.PartCapacitance, Part: "spike"}, "coupling": {Name: quantities.CouplingAtResonance}, "coupling:rod": {Name: quantities.CouplingAtResonance, Core: "rod"}, "coupling:beads": {Name: quantities.CouplingAtResonance, Core: "Beads"},
		"coupling:none": {Name: quantities.CouplingAtResonance}, "frequency": {Name: "frequency"},
	} {
		m, err := ParseMeasurand(text, r, &benchlog.States{})
		bare := readings.Bare()
		if err != nil || m.Key != want || !readings.Same(&m.State, &bare) {
			t.Errorf("%q: %+v, %v, want %+v", text, m, err, want)
		}
	}
	const expected = ", expected L, C, gain, hand, coupling, frequency@STATE or the name of a quantity that fitcoil fit --json reports for this log"
	for text, want := range map[string]string{"weight": `read "weight"` + expected, "gian": `read "gian"` + expected, "bare_freqency": `read "bare_freqency"` + expected + "; did you mean bare_frequency?", "gain:stick": `read "gain:stick"` + expected} {
		if _, err := ParseMeasurand(text, r, &benchlog.States{}); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
}

// Without a core named, a coupling is that of the bare coil, also in a log that has it with cores alone; a core
// is found by any quantity that is its own, a part by its name. What is meant by a misspelled name is looked for
// among all.
func TestMeasurandsOfOneQuantity(t *testing.T) {
	key := func(name, core, part string) quantities.Key {
		return quantities.Key{Name: name, Core: core, Part: part}
	}
	all := []quantities.Key{key(quantities.CouplingAtResonance, "Rod", ""), key(quantities.CoreGain, "Beads", ""), key(quantities.PartCapacitance, "", "Spike"), key(quantities.Drift, "", "")}
	for i := range all {
		order := slices.Concat(all[i:], all[:i]) // each comes first once
		for split := range len(order) + 1 {
			r := &model.Result{Result: &estimation.Result{}}
			for j, k := range order {
				if j < split {
					r.Parameters = append(r.Parameters, quantities.Estimate{Key: k})
				} else {
					r.Derived = append(r.Derived, quantities.Estimate{Key: k})
				}
			}
			want := map[string]quantities.Key{"coupling": key(quantities.CouplingAtResonance, "", ""), "coupling:rod": all[0], "gain:BEADS": all[1], "gain": all[1], "part_capacitance:spike": all[2], "part_capacitance": all[2], "drift": all[3]}
			if slices.ContainsFunc(r.Parameters, func(e quantities.Estimate) bool { return e.Core == "Beads" }) {
				want["coupling:beads"] = key(quantities.CouplingAtResonance, "Beads", "")
			}
			for text, want := range want {
				if m, err := ParseMeasurand(text, r, &benchlog.States{}); err != nil || m.Key != want {
					t.Errorf("%q of %+v: %+v, %v, want %+v", text, order, m.Key, err, want)
				}
			}
			for _, text := range []string{"gain:rod", "drift:rod", "part_capacitance:rod", "dritf"} {
				if m, err := ParseMeasurand(text, r, &benchlog.States{}); err == nil || strings.HasSuffix(err.Error(), "; did you mean drift?") != (text == "dritf") {
					t.Errorf("%q: %+v, %v", text, m.Key, err)
				}
			}
		}
	}
}

// The state of a frequency is what stands behind the @, with the cores and parts of the log and such as are new.
func TestMeasurandsOfStates(t *testing.T) {
	log := must.Get(benchlog.Read(strings.NewReader("frequency [MHz],added [pF],core\n2.5,,\n1.9,2.2,\n1.8,roof,Rod\n"), "log", benchlog.Options{})).In(t)
	r := &model.Result{Result: &estimation.Result{}}
	for text, want := range map[string]func(*readings.State){
		"frequency":                                     func(*readings.State) {},
		"frequency@bare":                                func(*readings.State) {},
		" frequency@core=rod ":                          func(s *readings.State) { s.Core, s.To = "Rod", 1 },
		"frequency@hand=10cm,added=2.2pF":               func(s *readings.State) { s.Hand, s.Parts = 0.1, []int{0} },
		"frequency@added=ROOF,core=Rod,covered=20..60%": func(s *readings.State) { s.Parts, s.Core, s.From, s.To = []int{1}, "Rod", 0.2, 0.6 },
		"frequency@added=3.3pF":                         func(s *readings.State) { s.Parts = []int{2} },
		"frequency@added=clip":                          func(s *readings.State) { s.Clip = true },
	} {
		state := readings.Bare()
		want(&state)
		m, err := ParseMeasurand(text, r, log.States())
		if err != nil || m.Key != (quantities.Key{Name: "frequency"}) || !readings.Same(&m.State, &state) {
			t.Errorf("%q: %+v, %v, want %+v", text, m, err, state)
		}
	}
	for _, text := range []string{"frequency@core", "frequency@weight=3", "frequency@hand=-1cm"} {
		if m, err := ParseMeasurand(text, r, log.States()); err == nil {
			t.Errorf("%q: %+v", text, m)
		}
	}
}
