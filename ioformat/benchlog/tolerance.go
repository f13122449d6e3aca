package benchlog

// DefaultTolerance is the relative tolerance of a part when neither the log
// nor Options state one: that of ordinary ceramic capacitors (common practice).
const DefaultTolerance = 0.05

// BoundToStandard turns a tolerance, taken as the bound that 95 % of the parts
// keep, into a standard uncertainty: the quantile of the normal distribution
// (JCGM 100:2008, 4.3.4).
const BoundToStandard = 1 / 1.96

// StandardUncertainty returns the relative standard uncertainty of a part whose
// tolerance is not stated.
func (o Options) StandardUncertainty() float64 {
	switch {
	case o.Exact:
		return 0
	case o.Tolerance == 0:
		return o.Share.Standard(DefaultTolerance)
	}
	return o.Share.Standard(o.Tolerance)
}
