package wording

import (
	"cmp"
	"fmt"
	"strings"

	"fitcoil/model/estimation"
)

// Source names what a share of a variance comes from.
func Source(s *estimation.Source) string {
	switch s.Kind {
	case estimation.BareReadings:
		return counted(s.Count, "bare")
	case estimation.AddedReadings:
		return counted(s.Count, "with added C")
	case estimation.CoreReadings:
		return counted(s.Count, "with a core")
	case estimation.HandReadings:
		return counted(s.Count, "with a hand")
	case estimation.PartSource:
		return "tolerance of " + s.Part
	case estimation.CommonSource:
		return "tolerances in common"
	case estimation.KnownSource:
		return "known " + strings.ReplaceAll(s.Known, "_", " ")
	case estimation.EarlierSource:
		return counted(s.Count, "of "+s.Known)
	case estimation.ModelSource:
		return "model, core partly in"
	case estimation.LawSource:
		if s.Hand > 0 {
			return "hand's law at " + Distance(s.Hand)
		}
		return "hand's law at the distances"
	}
	return Prior(&s.Assumption)
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 reading " + what
	}
	return fmt.Sprintf("%d readings %s", n, what)
}

// priors are names of what a fit takes as given; one that ends in a space goes on with those
// of parts or a core.
var priors = [...]string{
	estimation.AssumedTolerance:       "tolerance of ",
	estimation.AssumedShare:           "top's share of the capacitance",
	estimation.AssumedCoreCapacitance: "capacitance of core ",
	estimation.AssumedEnds:            "end effect of core ",
	estimation.AssumedMoved:           "capacitance moved by core ",
	estimation.AssumedHandOffset:      "offset of the hand's law",
	estimation.AssumedHandExponent:    "exponent of the hand's law",
	estimation.AssumedLead:            "capacitance of clips and leads",
	estimation.AssumedDrift:           "drift during the session",
	estimation.AssumedCapacitance:     "capacitance of winding and top",
	estimation.AssumedHand:            "capacitance of the hand",
	estimation.AssumedStray:           "stray capacitance of the other bench",
	estimation.AssumedPart:            "capacitance of ",
}

// Prior names what a fit takes as given because nothing says it.
func Prior(a *estimation.Assumption) string {
	name := priors[a.Kind]
	if strings.HasSuffix(name, " ") {
		name += strings.Join(a.Names, ", ")
	}
	return cmp.Or(name, "prior")
}
