package coilsheet

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/decisions"
	"fitcoil/model/field"
)

// flaws word what makes a drawing impossible.
var flaws = [...]string{
	field.NoWinding:             "turns, winding diameter and winding length must be above zero",
	field.NegativeLength:        "no length may be negative",
	field.TooFewSlices:          "a coil needs two slices or more",
	field.BeadsWithoutSize:      "beads need a diameter and a length above zero",
	field.BeadsTooThick:         "beads %[1]s mm thick don't fit into a winding %[2]s mm wide",
	field.BeadPermeability:      "bead permeability %[1]s: expected above 1",
	field.BeadPermittivity:      "bead permittivity %[1]s: expected above 1",
	field.BeadsInBall:           "the core ends at %[1]s mm, and so reaches into the ball, which begins at %[2]s mm: expected beads that end below it; check the bead count, length, spacing and start, and the ball gap",
	field.BeadsOverlap:          "the beads of the core overlap",
	field.NoCore:                "no core is drawn",
	field.StretchOutside:        "a core covers a stretch within the winding",
	field.FormerPermittivity:    "a former needs its permittivity, 1 or above",
	field.FormerHollow:          "a former needs an outer diameter above its inner one",
	field.FormerTooThick:        "a former of %[1]s mm doesn't fit into a winding %[2]s mm wide",
	field.FormerTooNarrow:       "beads %[1]s mm thick don't fit into a former of %[2]s mm",
	field.CoatingIncomplete:     "a coating needs a thickness above zero and a permittivity, 1 or above",
	field.PrimaryIncomplete:     "a primary needs turns, at most %[1]s, a diameter and a wire diameter above zero",
	field.PrimaryWithoutSpacing: "a primary of more than one turn needs a spacing from turn to turn, not below its wire's diameter",
	field.PrimaryWireTooThick:   "primary of %[1]s mm with a wire of %[2]s mm: expected a thinner wire",
	field.PrimaryWithinBeads:    "a primary of %[1]s mm doesn't go around beads of %[2]s mm",
	field.PrimaryTouches:        "the primary touches the winding: check the diameter and the wire diameter of the primary",
	field.RingIncomplete:        "a ring needs a diameter and a thickness, the thickness below half of the diameter",
	field.RingTouches:           "the ring touches the coil: check the diameter, thickness and height of the ring",
	field.PlateIncomplete:       "a plate needs a diameter above that of its hole",
	field.PlateTouches:          "the plate touches the coil: check the height and the hole of the plate",
	field.BoxIncomplete:         "a box needs a diameter or a width, and a top above its bottom",
	field.BoxTooSmall:           "the box doesn't hold the coil: what is drawn in it reaches from %[1]s to %[2]s mm and is %[3]s mm wide",
	field.BoxBelowGround:        "the box reaches below the grounded plane",
	field.MetalTouches:          "two pieces of metal touch or overlap: hold the rows of primary, ring, plate and box against each other",
	field.ConductorsTouch:       "two conductors touch or overlap: hold the rows of ball, primary, ring, plate, box and height above ground against each other",
	field.CoreTouches:           "the core touches the ball or the winding: leave a ball gap, or let the core end lower",
	field.InsulatorsTouch:       "an insulator touches or overlaps another, or a conductor",
	field.HandTouches:           "hand %[1]s mm from the top: expected a distance above zero",
	field.HandInBox:             "hand %[1]s mm from the top: it is in the box, which is closed: beyond its lid a hand is %[2]s mm away or more",
}

// Worded says what of a drawing can't be. Other errors, and none, stay as they are.
func Worded(err error) error {
	var size *field.SizeError
	var flaw *field.Impossible
	switch {
	case errors.As(err, &size):
		return fmt.Errorf("%s %s: expected %s", size.Quantity, bound(size, size.Value, 3), expected(size))
	case errors.Is(err, decisions.ErrCoversPart):
		return errors.New("the beads as drawn cover the winding only partly, so that a change of them is not carried over")
	case errors.Is(err, decisions.ErrBeyondTop):
		return errors.New("the beads as drawn reach beyond the winding's top, and what they do to the capacitance there is not carried over; draw as many as the winding holds")
	case !errors.As(err, &flaw):
		return err
	}
	scale := 1e3 // in mm
	switch flaw.Flaw {
	case field.BeadPermeability, field.BeadPermittivity, field.PrimaryIncomplete:
		scale = 1
	}
	var values []any
	for _, v := range flaw.Values {
		values = append(values, quantity.Digits(scale*v, 4))
	}
	return fmt.Errorf(flaws[flaw.Flaw], values...)
}

// wanted says what would do in place of what has a wrong size.
func wanted(e *field.SizeError) string {
	text := e.Quantity + " " + strings.Replace(" "+expected(e), " at ", " of at ", 1)[1:]
	if e.Quantity == "turns" {
		return text
	}
	return "a " + text
}

// expected says what would do. Bounds are rounded inwards: each would do itself.
func expected(e *field.SizeError) string {
	digits := 3
	for digits < 9 && inwards(e.Low, digits, math.Ceil) > inwards(e.High, digits, math.Floor) {
		digits++
	}
	low, high := bound(e, inwards(e.Low, digits, math.Ceil), digits), bound(e, inwards(e.High, digits, math.Floor), digits)
	s := "from " + low + " to " + high
	switch {
	case e.Low == 0:
		s = "at most " + high
	case math.IsInf(e.High, 1):
		s = "at least " + low
	}
	if e.Against != "" {
		s += ", " + e.Against
	}
	return s
}

// inwards rounds x to n significant digits, up or down as round does.
func inwards(x float64, n int, round func(float64) float64) float64 {
	if x == 0 || math.IsInf(x, 0) {
		return x
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-float64(n-1))
	if near := math.Round(x / unit); math.Abs(x/unit-near) < 1e-6 {
		return near * unit
	}
	return round(x/unit) * unit
}

// bound writes x in the unit of e.
func bound(e *field.SizeError, x float64, digits int) string {
	switch a := math.Abs(x); {
	case e.Pure:
		return quantity.Digits(x, 6)
	case a >= 1:
		return quantity.Digits(x, digits) + " m"
	case a >= 1e-3 || a == 0:
		return quantity.Digits(1e3*x, digits) + " mm"
	}
	return quantity.Digits(1e6*x, digits) + " µm"
}
