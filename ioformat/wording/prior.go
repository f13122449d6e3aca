package wording

import (
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
		text := in.Format(value, u).String()
		if number, rest, _ := strings.Cut(text, " "); strings.Trim(number, "-0.") == "" {
			text = strings.TrimPrefix(number, "-") + " " + rest
		}
		return text
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
