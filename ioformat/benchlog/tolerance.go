package benchlog

// StandardUncertainty returns the relative standard uncertainty of a part whose
// tolerance is not stated.
func (o Options) StandardUncertainty() float64 {
	switch {
	case o.Exact:
		return 0
	case o.Tolerance == 0:
		return DefaultTolerance * boundToStandard
	}
	return o.Tolerance * boundToStandard
}
