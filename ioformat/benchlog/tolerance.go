package benchlog

import (
	"cmp"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

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

// Unused returns the names in o.Parts that none of parts goes by, in the order
// of the alphabet: values given for nothing, most likely by a slip of the pen.
func (o Options) Unused(parts []readings.Part) (names []string) {
	used := map[string]bool{}
	for _, p := range parts {
		used[PartKey(p.Name)] = true
	}
	for _, name := range o.names() {
		if !used[PartKey(name)] {
			names = append(names, name)
		}
	}
	return names
}

// names lists those in o.Parts, in the order of the alphabet.
func (o Options) names() (names []string) {
	for name := range o.Parts {
		names = append(names, name)
	}
	stable.Sort(names, cmp.Compare)
	return names
}

// PartKey is the same for all spellings of a part's name or nominal value. Of
// several parts of one value, it is the first that a value is given for.
func PartKey(name string) string {
	if q, err := (quantity.Form{Dimension: quantity.Capacitance}).Parse(name); err == nil {
		return valueKey(q.Value, 1)
	}
	return nameKey(name)
}
