package findings

import (
	"math"

	"fitcoil/model/estimation"
	"fitcoil/model/loss"
)

// dispersing is the relative change of a frequency from which on a core's dispersion is
// told.
const dispersing = 1e-3

// checkDispersion tells of a drawn core whose gain may move over the frequencies read with
// it by so much that one gain doesn't describe it: frequencies move by half of that.
func checkDispersion(r *estimation.Result) (f Finding, found bool) {
	d := r.Session.Drawn
	if d == nil || d.Core == nil {
		return f, false
	}
	low, high := math.Inf(1), 0.0
	for _, i := range r.Problem.Rows {
		o := &r.Session.Log.Readings[i]
		if o.Core != "" && (d.Drawing.Core == "" || d.Drawing.Core == o.Core) {
			low, high = math.Min(low, o.Frequency), math.Max(high, o.Frequency)
			f.Name = o.Core
		}
	}
	if !(high > low) {
		return f, false
	}
	coil := d.Drawing.Coil
	least, most := loss.Range(coil.Beads.Permeability, low, high)
	f.Other = most / least
	if math.Log(f.Other) < dispersing { // whatever the core, its gain moves less
		return f, false
	}
	var gains [2]float64
	for i, factor := range []float64{least, most} {
		at := coil
		at.Beads.Permeability = math.Max(1.01, factor*coil.Beads.Permeability)
		g, err := at.FullGain()
		if err != nil {
			return f, false
		}
		gains[i] = g
	}
	f.Kind, f.Value = CoreDisperses, gains[1]/gains[0]-1
	return f, f.Value/2 > dispersing
}
