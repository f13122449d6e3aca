package known

import (
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// ParseMeasurand reads what further readings should make better known: L, C, gain
// (of the only core, or gain:NAME), hand (its effect at the nearest distance
// read), coupling (of a primary, coupling:CORE with a core in), frequency@STATE with the words of a state separated by commas, or the
// name of a quantity that r reports, with its core or part behind a colon.
func ParseMeasurand(text string, r *model.Result, s *benchlog.States) (decisions.Measurand, error) {
	name, state, at := strings.Cut(quantity.Trim(text), "@")
	if name == "frequency" {
		measurand := decisions.Measurand{Key: quantities.Key{Name: name}, State: readings.Bare()}
		if !at {
			return measurand, nil
		}
		var err error
		measurand.State, err = s.Parse(benchlog.Words(state))
		return measurand, err
	}
	name, label, labelled := strings.Cut(name, ":")
	if name == "L" { // beside C: the pair that gives the bare frequency
		name = quantities.EffectiveInductance
	}
	name = short(name)
	var names []string
	for _, e := range slices.Concat(r.Parameters, r.Derived) {
		names = append(names, e.Name)
		if name == "hand" && e.Name == quantities.HandFrequencyDrop || e.Name == name && (!labelled && (e.Core == "" || name != quantities.CouplingAtResonance) || labelled && (benchlog.SameName(label, e.Core) || benchlog.SameName(label, e.Part))) {
			return decisions.Measurand{Key: e.Key, State: readings.Bare()}, nil
		}
	}
	if name == quantities.CouplingAtResonance { // a log may have nothing of it yet
		return decisions.Measurand{Key: quantities.Key{Name: name, Core: coreNamed(r, label)}, State: readings.Bare()}, nil
	}
	return decisions.Measurand{}, &quantity.Error{Read: text,
		Expected: "L, C, gain, hand, coupling, frequency@STATE or the name of a quantity that fitcoil fit --json reports for this log", Do: suggest.Meant(name, names, "")}
}

// coreNamed returns the core of r that label means, "" for none.
func coreNamed(r *model.Result, label string) string {
	for _, e := range r.Parameters {
		if label != "" && benchlog.SameName(label, e.Core) {
			return e.Core
		}
	}
	return ""
}
