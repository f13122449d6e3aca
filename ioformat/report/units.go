package report

import (
	"math"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// units chooses the units of one table. Numbers under each other have one where they
// can: femtofarads stand only where all capacitances are below 0.1 pF.
type units struct{ picofarads bool }

func unitsOf(list []quantities.Estimate) units {
	return unitsIn(list, func(e quantities.Estimate) *quantities.Estimate { return &e })
}

// unitsIn is unitsOf for what has an estimate each.
func unitsIn[T any](list []T, estimate func(T) *quantities.Estimate) units {
	return units{slices.ContainsFunc(list, func(v T) bool {
		e := estimate(v)
		return e.Unit == "F" && e.Determined && math.Max(math.Abs(e.Value), e.Interval[1]) >= 0.1e-12
	})}
}

// of returns the unit for an SI value and its uncertainty.
func (u units) of(value, uncertainty float64, unit string) quantity.Unit {
	out := quantity.UnitFor(value, uncertainty, quantity.BaseUnit(unit))
	if u.picofarads && out.Symbol == "fF" {
		if pF, err := quantity.ParseUnit("pF", quantity.Capacitance); err == nil {
			return pF
		}
	}
	return out
}

// estimate returns the unit for e, printed with an uncertainty.
func (u units) estimate(e *quantities.Estimate, uncertainty float64) quantity.Unit {
	if e.Name != quantities.Drift {
		return u.of(e.Value, uncertainty, e.Unit)
	}
	ppm := quantity.UnitFor(e.Value, uncertainty, "ppm")
	if e.Unit == "1/h" {
		ppm.Symbol = "ppm/h"
	}
	return ppm
}

// PlusMinus writes the uncertainty of e alone: in percent, or as it is where the value may be near
// zero.
func PlusMinus(e quantities.Estimate) string {
	switch e.Name {
	case quantities.Drift, quantities.LeadCapacitance, quantities.CoreCapacitance, quantities.StrayCapacitance:
		out := units{picofarads: e.Uncertainty >= 1e-15}.estimate(&e, e.Uncertainty).Format(e.Uncertainty, e.Uncertainty)
		return "± " + out.Uncertainty + " " + out.Unit
	}
	return "± " + quantity.FormatValue(e.Uncertainty/math.Abs(e.Value), 2, "%").String()
}
