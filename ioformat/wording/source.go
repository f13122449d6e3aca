package wording

import (
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
	}
	return Prior(&s.Assumption)
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 reading " + what
	}
	return fmt.Sprintf("%d readings %s", n, what)
}

// Prior names what a fit takes as given because nothing says it.
func Prior(a *estimation.Assumption) string {
	names := strings.Join(a.Names, ", ")
	switch a.Kind {
	case estimation.AssumedTolerance:
		return "tolerance of " + names
	case estimation.AssumedShare:
		return "top's share of the capacitance"
	case estimation.AssumedCoreCapacitance:
		return "capacitance of core " + names
	case estimation.AssumedEnds:
		return "end effect of core " + names
	case estimation.AssumedMoved:
		return "capacitance moved by core " + names
	case estimation.AssumedHandOffset:
		return "offset of the hand's law"
	case estimation.AssumedHandExponent:
		return "exponent of the hand's law"
	case estimation.AssumedLead:
		return "capacitance of clips and leads"
	case estimation.AssumedDrift:
		return "drift during the session"
	case estimation.AssumedCapacitance:
		return "capacitance of winding and top"
	case estimation.AssumedHand:
		return "capacitance of the hand"
	case estimation.AssumedStray:
		return "stray capacitance of the other bench"
	case estimation.AssumedPart:
		return "capacitance of " + names
	}
	return "prior"
}
