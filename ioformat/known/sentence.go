package known

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/model/quantities"
)

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
