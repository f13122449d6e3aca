package benchlog

import (
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// Unused returns the names in o.Parts that none of parts goes by, in the order
// of the alphabet: values given for nothing, most likely by a slip of the pen.
func (o Options) Unused(parts []readings.Part) (names []string) {
	used := map[string]bool{}
	for _, p := range parts {
		used[PartKey(p.Name)] = true
	}
	for name := range o.Parts {
		if !used[PartKey(name)] {
			names = append(names, name)
		}
	}
	slices.Sort(names)
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
