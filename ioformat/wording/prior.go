package wording

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// MovedName names a prior.
func MovedName(b *estimation.MovedPrior) string {
	switch b.Kind {
	case estimation.PartSource:
		return b.Part
	case estimation.CommonSource:
		return "tolerances in common"
	case estimation.KnownSource:
		return QuantityOf(&quantities.Estimate{Key: b.Known})
	}
	return Prior(&b.Assumption)
}

// MovedOf says what the values of a prior are a fraction of, as ", of the winding's"; "" for
// none.
func MovedOf(b *estimation.MovedPrior) string {
	_, of := movedUnit(b)
	return of
}

// MovedPrior names a prior, and writes what was believed and what is known now; a standard
// uncertainty that is a factor in brackets, as 5 cm (factor 2.7).
func MovedPrior(b *estimation.MovedPrior) (what, believed, now string) {
	base, of := movedUnit(b)
	what = MovedName(b) + of
	in := quantity.UnitFor(math.Max(math.Abs(b.Value), math.Abs(b.Now)), b.Uncertainty, base)
	if base == "F" {
		in = quantity.UnitFor(1e-12, 0, base)
	}
	write := func(value, u float64) string {
		if b.Logarithmic {
			middle := quantity.FormatValue(value, 2, base).String()
			if base == "m" { // that of a hand
				middle = quantity.Digits(100*value, 2) + " cm"
			}
			return middle + " (factor " + quantity.FormatValue(math.Exp(u), 2, "").String() + ")"
		}
		return in.Format(value, u).String()
	}
	return what, write(b.Value, b.Uncertainty), write(b.Now, b.Left)
}

// movedUnit is the unit in which a prior is told, and what it is a fraction of.
func movedUnit(b *estimation.MovedPrior) (base, of string) {
	switch {
	case b.Kind == estimation.CommonSource:
		return "%", ""
	case b.Kind != estimation.AssumptionSource:
	case b.Assumption.Kind == estimation.AssumedCoreCapacitance, b.Assumption.Kind == estimation.AssumedMoved:
		return "%", ", of the winding's"
	case b.Assumption.Kind == estimation.AssumedEnds:
		return "", ", of the length"
	case b.Assumption.Kind == estimation.AssumedDrift:
		return "ppm", ""
	}
	return quantity.BaseUnit(b.Unit), ""
}

// Moved writes by how many standard uncertainties something moved; a zero has no sign.
func Moved(by float64) string {
	if math.Abs(by) < 0.05 {
		return "0.0"
	}
	return quantity.SignedDecimals(by, 1)
}

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
		return "known " + Key(s.Known)
	case estimation.EarlierSource:
		return counted(s.Count, "of "+s.Earlier)
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
