package wording

import (
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// Quantity is the name of an estimate for people, beside others of the same core or hand.
func Quantity(e *quantities.Estimate) string {
	name := strings.ReplaceAll(e.Name, "_", " ")
	switch e.Name {
	case quantities.LCProduct:
		name = "L × C"
	case quantities.Inductance:
		name = "inductance in air"
	case quantities.RatioGain:
		name = "apparent gain (f_air/f_core)²"
	case quantities.WindingCapacitance, quantities.TopCapacitance:
		if e.Equivalent {
			name += ", equivalent line"
		}
	}
	switch {
	case e.Part != "":
		return e.Part
	case quantities.OfLoss(e.Name):
		return Loss(e)
	case e.Core != "" && (e.Name == quantities.CouplingAtResonance || e.Name == quantities.CouplingOfWindings):
		return name + ", core " + e.Core
	case e.Hand > 0:
		return strings.TrimPrefix(name, "hand ") + " at " + Distance(e.Hand)
	}
	return strings.TrimPrefix(name, "core ")
}

// QuantityOf is Quantity, with the core or hand that the estimate belongs to.
func QuantityOf(e *quantities.Estimate) string {
	switch own := Quantity(e); {
	case quantities.OfLoss(e.Name):
		return "quality factor, " + own
	case e.Core != "" && !strings.HasSuffix(own, ", core "+e.Core):
		return own + ", core " + e.Core
	case e.Hand > 0:
		return "hand, " + Quantity(e)
	}
	return Quantity(e)
}

// Key writes the name of a quantity in words, with the core that it belongs to.
func Key(k quantities.Key) string {
	name := strings.ReplaceAll(k.Name, "_", " ")
	if k.Core != "" {
		name += " (core " + k.Core + ")"
	}
	return name
}

// Distance writes the distance of a hand as the trade does, in centimetres.
func Distance(m float64) string {
	if math.IsInf(m, 1) {
		return "nobody near"
	}
	return fmt.Sprintf("%s cm", quantity.Digits(100*m, 3))
}

// Loss names what loses energy.
func Loss(e *quantities.Estimate) string {
	switch e.Name {
	case quantities.QualityWinding:
		return "winding"
	case quantities.QualityDielectric:
		return "dielectric"
	}
	return "core " + e.Core + ", and winding with it"
}

// Correlation writes a coefficient with the digits that tell it from one.
func Correlation(r float64) string {
	digits := 2
	if free := 1 - math.Abs(r); free > 0 && free < 0.1 {
		digits = min(6, 1+int(math.Ceil(-math.Log10(free))))
	}
	text := strings.Replace(quantity.Decimals(r, digits), "-", "−", 1)
	if strings.Trim(text, "−0.") == "" {
		return "0.00"
	}
	return text
}
