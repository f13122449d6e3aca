package fit

import "math"

// settleOwn takes the last, linear, step of the own parameters. Those at a bound are
// kept there while the fit goes on, and eliminated like the others for its result, which
// leaves it to Covariance to hold them.
func (v *solver) settleOwn() {
	if v.a.own == nil || v.status == StartNotFinite {
		return
	}
	o, e := v.here.own, v.a.own
	for i, d := range o.d {
		if d != 0 {
			limits := e.limits(i)
			o.x[i] = math.Min(math.Max(o.x[i]-o.q[i]/d, limits[0]), limits[1])
		}
	}
	e.final = true
	v.sum = v.evaluate(v.x, v.here, math.Inf(1))
}
