package quantities

import (
	"testing"
)

// The names are those of the JSON, which scripts read: a name that changes breaks them. And which of them are of what.
func TestNames(t *testing.T) {
	type of struct{ loss, coupling, split, shape, bench, law bool }
	for name, c := range map[string]struct {
		constant string
		of
	}{
		"inductance":               {Inductance, of{}},
		"winding_capacitance":      {WindingCapacitance, of{split: true, shape: true}},
		"top_capacitance":          {TopCapacitance, of{split: true, shape: true}},
		"core_gain":                {CoreGain, of{}},
		"core_capacitance":         {CoreCapacitance, of{split: true}},
		"hand_strength":            {HandStrength, of{law: true}},
		"hand_offset":              {HandOffset, of{law: true}},
		"hand_exponent":            {HandExponent, of{law: true}},
		"part_capacitance":         {PartCapacitance, of{}},
		"lead_capacitance":         {LeadCapacitance, of{bench: true}},
		"drift":                    {Drift, of{bench: true}},
		"effective_inductance":     {EffectiveInductance, of{}},
		"effective_capacitance":    {EffectiveCapacitance, of{}},
		"lc_product":               {LCProduct, of{}},
		"bare_frequency":           {BareFrequency, of{}},
		"characteristic_impedance": {Impedance, of{}},
		"frequency_ratio":          {FrequencyRatio, of{}},
		"inductance_with_core":     {InductanceWithCore, of{}},
		"gain_claimed_by_ratio":    {RatioGain, of{}},
		"core_frequency_drop":      {CoreFrequencyDrop, of{}},
		"impedance_ratio":          {ImpedanceRatio, of{}},
		"hand_capacitance":         {HandCapacitance, of{}},
		"stray_capacitance":        {StrayCapacitance, of{shape: true}},
		"coupling_at_resonance":    {CouplingAtResonance, of{coupling: true}},
		"coupling_of_windings":     {CouplingOfWindings, of{coupling: true}},
		"quality_winding":          {QualityWinding, of{loss: true}},
		"quality_dielectric":       {QualityDielectric, of{loss: true}},
		"quality_core":             {QualityCore, of{loss: true}},
		"hand_frequency_drop":      {HandFrequencyDrop, of{}},
	} {
		if got := (of{OfLoss(name), OfCoupling(name), RestsOnSplit(name), OfShape(name), OfBench(name), HandLaw(name)}); name != c.constant || got != c.of {
			t.Errorf("%s is written %q; %+v, want %+v", name, c.constant, got, c.of)
		}
	}
}
