package wording

import (
	"fmt"
	"strings"

	"fitcoil/model"
)

// Source names what a share of a variance comes from.
func Source(s *model.Source) string {
	switch s.Kind {
	case model.BareReadings:
		return counted(s.Count, "bare")
	case model.AddedReadings:
		return counted(s.Count, "with added C")
	case model.CoreReadings:
		return counted(s.Count, "with a core")
	case model.HandReadings:
		return counted(s.Count, "with a hand")
	case model.PartSource:
		return "tolerance of " + s.Part
	case model.CommonSource:
		return "tolerances in common"
	case model.KnownSource:
		return "known " + strings.ReplaceAll(s.Known, "_", " ")
	case model.ModelSource:
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
func Prior(a *model.Assumption) string {
	names := strings.Join(a.Names, ", ")
	switch a.Kind {
	case model.AssumedTolerance:
		return "tolerance of " + names
	case model.AssumedShare:
		return "top's share of the capacitance"
	case model.AssumedCoreCapacitance:
		return "capacitance of core " + names
	case model.AssumedEnds:
		return "end effect of core " + names
	case model.AssumedCoupling:
		return "coupling under core " + names
	case model.AssumedHandOffset:
		return "offset of the hand's law"
	case model.AssumedHandExponent:
		return "exponent of the hand's law"
	case model.AssumedLead:
		return "capacitance of clips and leads"
	case model.AssumedDrift:
		return "drift during the session"
	case model.AssumedCapacitance:
		return "capacitance of winding and top"
	case model.AssumedHand:
		return "capacitance of the hand"
	case model.AssumedPart:
		return "capacitance of " + names
	}
	return "prior"
}
