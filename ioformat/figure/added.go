package figure

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// addedAxis is an axis of added capacitance from nothing to the most there is.
type addedAxis struct {
	most  float64 // F
	shift float64 // F; above zero on a scale of ln(added + shift), 0 on a plain one
	unit  quantity.Unit
}

// wideRange is the ratio of the most added to the coil's own capacitance from which on a
// plain axis would crowd half of the readings into its corner.
const wideRange = 30

func (v *view) newAddedAxis(most float64) addedAxis {
	a := addedAxis{most: most, unit: unit(most, "F")}
	own := math.Inf(1)
	if e := v.result.Find(quantities.Key{Name: quantities.EffectiveCapacitance}); e != nil && e.Determined {
		own = e.Value
	} else {
		for _, r := range v.readings {
			if r.added > 0 {
				own = math.Min(own, r.added)
			}
		}
	}
	if most > wideRange*own {
		digit := math.Pow(10, math.Floor(math.Log10(own)))
		a.shift, a.unit = math.Round(own/digit)*digit, unit(own, "F")
	}
	return a
}

// axis is a in the unit that its numbers read well in.
func (a *addedAxis) axis() chart.Axis {
	label, most := axisLabel("added capacitance", a.unit), a.unit.FromSI(a.most)
	if a.shift == 0 {
		return chart.Over(label, 0, most, 8)
	}
	shift := a.unit.FromSI(a.shift)
	label += fmt.Sprintf(", scale logarithmic in added + %s %s", quantity.Digits(shift, 3), a.unit.Symbol)
	return chart.LogOver(label, 0, most, shift)
}

// places returns the capacitances to work a curve out at, and those of extra among them:
// evenly on a logarithmic scale, closer where a curve bends most, with little added, on a
// plain one.
func (a *addedAxis) places(extra ...float64) []float64 {
	const n = 48
	list := append([]float64{0, a.most}, extra...)
	for j := 1; j < n; j++ {
		share := float64(j) / n
		if a.shift > 0 {
			list = append(list, a.shift*math.Expm1(share*math.Log1p(a.most/a.shift)))
		} else {
			list = append(list, a.most*share*share)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}
