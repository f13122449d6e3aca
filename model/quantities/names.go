package quantities

// Names of the quantities that a fit reports, and that a known value may be
// given for. They are those of the JSON output.
const (
	Inductance           = "inductance"            // air, whole winding, H
	WindingCapacitance   = "winding_capacitance"   // spread along the winding, F
	TopCapacitance       = "top_capacitance"       // at the free end with nothing added, F
	CoreGain             = "core_gain"             // factor on the inductance per length under the core
	CoreCapacitance      = "core_capacitance"      // added to the winding's by full coverage, F
	HandStrength         = "hand_strength"         // K of C = K/(d+d0)^p, F·m^p
	HandOffset           = "hand_offset"           // d0, m
	HandExponent         = "hand_exponent"         // p
	PartCapacitance      = "part_capacitance"      // of one part put on the top, F
	LeadCapacitance      = "lead_capacitance"      // what each state with something added has on the top besides, F
	Drift                = "drift"                 // relative change of frequencies from the first reading to the last
	EffectiveInductance  = "effective_inductance"  // at the bare resonance, seen from the top, H
	EffectiveCapacitance = "effective_capacitance" // at the bare resonance, seen from the top, F
	LCProduct            = "lc_product"            // 1/ω² of the bare coil, s²
	BareFrequency        = "bare_frequency"        // Hz
	Impedance            = "characteristic_impedance"
	FrequencyRatio       = "frequency_ratio"       // with the core over bare
	InductanceWithCore   = "inductance_with_core"  // whole winding, core all along it, H
	RatioGain            = "gain_claimed_by_ratio" // 1/ratio²: what the core's gain would be if nothing else changed
	CoreFrequencyDrop    = "core_frequency_drop"   // Hz
	ImpedanceRatio       = "impedance_ratio"       // characteristic impedance with the core over bare
	HandCapacitance      = "hand_capacitance"      // at one distance, F
	StrayCapacitance     = "stray_capacitance"     // at the top, beyond what a drawing knows of, F
	CouplingAtResonance  = "coupling_at_resonance" // of a primary, k² = 1 − (f_open/f_short)², bare or with the core
	CouplingOfWindings   = "coupling_of_windings"  // of the same, with the same current in all turns
	QualityWinding       = "quality_winding"       // of the bare coil, had it no loss but the winding's
	QualityDielectric    = "quality_dielectric"    // the same of insulators
	QualityCore          = "quality_core"          // of the coil with the core, had it no loss but the core's and what it adds to the winding's
	HandFrequencyDrop    = "hand_frequency_drop"   // of the bare coil, at one distance, Hz
)

// Key says which quantity: its name, and what it is one of where that needs saying.
type Key struct {
	Name string  // one of the names of this package, as EffectiveInductance
	Core string  // the core it belongs to, "" for none
	Part string  // the part it belongs to, "" for none
	Hand float64 // m, the distance of the hand it belongs to, 0 for none
}

// OfLoss tells whether a quantity says where energy is lost.
func OfLoss(name string) bool {
	return name == QualityWinding || name == QualityDielectric || name == QualityCore
}

// OfCoupling tells whether a quantity is a coupling of a primary.
func OfCoupling(name string) bool { return name == CouplingAtResonance || name == CouplingOfWindings }

// RestsOnSplit tells whether a quantity has no meaning while only the product
// of inductance and capacitance is known.
func RestsOnSplit(name string) bool {
	return name == WindingCapacitance || name == TopCapacitance || name == CoreCapacitance
}

// OfShape tells whether a quantity says how the capacitance is shared along the coil.
func OfShape(name string) bool {
	return name == WindingCapacitance || name == TopCapacitance || name == StrayCapacitance
}

// OfBench tells whether a quantity is one of the bench and not of the coil.
func OfBench(name string) bool { return name == LeadCapacitance || name == Drift }

// HandLaw tells whether a quantity is one of the law of a hand.
func HandLaw(name string) bool {
	return name == HandStrength || name == HandOffset || name == HandExponent
}
