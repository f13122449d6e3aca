package figure

import (
	"math"

	"fitcoil/model/decisions"
)

// Rebuilds shows gain and frequency over a sweep of one quantity of a drawing,
// in the SI unit given.
func Rebuilds(name, unit string, values []float64, now float64, points []decisions.SweepPoint) Figure {
	gain := Outcome{Name: "core gain"}
	f := Outcome{Name: "frequency", Unit: "Hz", Band: "95 % interval"}
	for _, p := range points {
		gain.Value = append(gain.Value, p.Gain)
		v, lo, hi := math.NaN(), math.NaN(), math.NaN()
		if p.Frequency.Determined {
			v, lo, hi = p.Frequency.Value, p.Frequency.Interval[0], p.Frequency.Interval[1]
		}
		f.Value, f.Low, f.High = append(f.Value, v), append(f.Low, lo), append(f.High, hi)
	}
	s := Sweep{Name: name, Unit: unit, At: values, Now: now, Outcomes: []Outcome{f}}
	if len(points) > 0 && finite(points[0].Gain) {
		s.Outcomes = []Outcome{gain, f}
	}
	return Swept(s)
}
