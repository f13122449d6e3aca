package report

import (
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// StateText describes a state in a few words; parts are those it refers to.
func StateText(s model.State, parts []model.Part) string {
	var top, out []string
	for _, p := range s.Parts {
		top = append(top, parts[p].Name)
	}
	if s.Exact > 0 {
		top = append(top, quantity.FormatValue(s.Exact, 3, "F").String())
	}
	if len(top) > 0 {
		out = append(out, strings.Join(top, " + "))
	}
	if s.Core != "" {
		out = append(out, "core "+s.Core+coverText(s))
	}
	if !math.IsInf(s.Hand, 1) {
		out = append(out, "hand at "+Distance(s.Hand))
	}
	if len(out) == 0 {
		return "bare"
	}
	return strings.Join(out, ", ")
}

func coverText(s model.State) string {
	switch {
	case s.From > 0:
		return fmt.Sprintf(" %.3g..%.3g %%", 100*s.From, 100*s.To)
	case s.To < 1:
		return fmt.Sprintf(" %.3g %%", 100*s.To)
	}
	return ""
}
