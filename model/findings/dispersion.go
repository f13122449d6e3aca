package findings

import (
	"math"

	"fitcoil/model/estimation"
	"fitcoil/model/loss"
)

// dispersing is the relative change of a frequency from which on a core's dispersion is
// told.
const dispersing = 1e-3

// Dispersion is how far a drawn core may move over the frequencies read with it.
type Dispersion struct {
	Core         string
	Low, High    float64 // Hz, read with it
	Permeability float64 // most over least, by the product of permeability and frequency
	Gain         float64 // relative change of the gain with that
}

// Disperses works out the dispersion of the core drawn; ok is false where none is drawn or
// read at more than one frequency.
func Disperses(r *estimation.Result) (d Dispersion, ok bool) { return disperses(r, 0) }

// disperses is Disperses, whose gain is worked out only where the permeability's logarithm moves
// by the bound given or more: a gain moves less, whatever the core.
func disperses(r *estimation.Result, bound float64) (d Dispersion, ok bool) {
	drawn := r.Session.Drawn
	if drawn == nil || drawn.Core == nil {
		return d, false
	}
	d.Low = math.Inf(1)
	for _, i := range r.Problem.Rows {
		o := &r.Session.Log.Readings[i]
		if o.Core != "" && (drawn.Drawing.Core == "" || drawn.Drawing.Core == o.Core) {
			d.Low, d.High = math.Min(d.Low, o.Frequency), math.Max(d.High, o.Frequency)
			d.Core = o.Core
		}
	}
	if !(d.High > d.Low) {
		return d, false
	}
	coil := drawn.Drawing.Coil
	least, most := loss.Range(coil.Beads.Permeability, d.Low, d.High)
	if d.Permeability = most / least; math.Log(d.Permeability) < bound {
		return d, true
	}
	var gains [2]float64
	for i, factor := range []float64{least, most} {
		at := coil
		at.Beads.Permeability = math.Max(1.01, factor*coil.Beads.Permeability)
		g, err := at.FullGain()
		if err != nil {
			return d, false
		}
		gains[i] = g
	}
	d.Gain = gains[1]/gains[0] - 1
	return d, true
}

// checkDispersion tells of a drawn core whose gain may move over the frequencies read with
// it by so much that one gain doesn't describe it: frequencies move by half of that.
func checkDispersion(r *estimation.Result) (f Finding, found bool) {
	d, ok := disperses(r, dispersing)
	return Finding{Kind: CoreDisperses, Name: d.Core, Value: d.Gain, Other: d.Permeability}, ok && d.Gain/2 > dispersing
}
