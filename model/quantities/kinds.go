package quantities

// OfLoss tells whether a quantity says where energy is lost.
func OfLoss(name string) bool {
	return name == QualityWinding || name == QualityDielectric || name == QualityCore
}

// OfCoupling tells whether a quantity is a coupling of a primary.
func OfCoupling(name string) bool { return name == CouplingAtResonance || name == CouplingOfWindings }

// RestsOnSplit tells whether a quantity has no meaning while only the product
// of inductance and capacitance is known.
func RestsOnSplit(name string) bool {
	switch name {
	case WindingCapacitance, TopCapacitance, CoreCapacitance:
		return true
	}
	return false
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
