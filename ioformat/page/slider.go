package page

import (
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// slider is a range of settings, in a unit that reads well.
type slider struct {
	Unit           string
	Scale          float64 // SI units in one
	Min, Max, Step float64 // in Unit
	Start          float64
}

// addedSlider reaches half as far again as what was read, or as far as the
// readings determine.
func (p *panel) addedSlider(r *model.Result) *slider {
	most := 0.0
	for i := range r.Readings {
		if a := r.Added(r.Readings[i].State); r.Readings[i].Use && a > most {
			most = a
		}
	}
	if c := r.Find(quantities.Key{Name: quantities.EffectiveCapacitance}); most == 0 && c.Determined {
		most = c.Value
	}
	for reach := 1.5 * most; reach > most/8; reach /= 2 {
		u := quantity.UnitFor(reach, 0, "F")
		s := &slider{Unit: u.Symbol, Scale: u.ToSI(1), Max: niceAbove(u.FromSI(reach))}
		s.Step = step(s.Max)
		state := readings.Bare()
		state.Exact = u.ToSI(s.Max)
		if r.Frequency(state, nil).Determined {
			return s
		}
		for _, c := range p.Cores {
			in := state
			in.Core, in.To = c, 1
			if r.Frequency(in, nil).Determined {
				return s
			}
		}
	}
	return nil
}

// handSlider reaches from half the smallest distance read to twice the largest.
func handSlider(r *model.Result) *slider {
	least, most := math.Inf(1), 0.0
	for i := range r.Readings {
		if o := &r.Readings[i]; o.Use && !math.IsInf(o.Hand, 1) {
			least, most = math.Min(least, o.Hand), math.Max(most, o.Hand)
		}
	}
	const cm = 0.01 // as makers measure it
	s := &slider{Unit: "cm", Scale: cm, Max: niceAbove(2 * most / cm)}
	s.Step = step(s.Max)
	s.Min = s.at(math.Max(1, math.Floor(least/2/cm/s.Step)))
	s.Start = s.at(math.Round(least / cm / s.Step))
	return s
}

// at returns the n-th step from zero, without the noise of binary fractions.
func (s *slider) at(n float64) float64 { return math.Round(n*s.Step*1e9) / 1e9 }

// step returns 1, 2 or 5 times a power of ten that divides a range into about
// 200.
func step(most float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(most/200)))
	switch n := most / 200 / decade; {
	case n > 5:
		return 10 * decade
	case n > 2:
		return 5 * decade
	case n > 1:
		return 2 * decade
	}
	return decade
}

// niceAbove returns the least of 1, 2, 2.5, 4, 5, 8 times a power of ten that isn't
// below x.
func niceAbove(x float64) float64 {
	decade := math.Pow(10, math.Floor(math.Log10(x)))
	for _, n := range []float64{1, 2, 2.5, 4, 5, 8, 10} {
		if v := n * decade; v >= x*(1-1e-12) {
			return v
		}
	}
	return 10 * decade
}
