package page

import (
	"fmt"
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// dial is a scale of frequency with every reading on it, like the stations on a
// wireless set; the needle stands at the bare coil.
type dial struct {
	Unit     string
	Scale    float64 // Hz in one
	Min, Max float64 // Hz
	Ticks    []tick
	Stations []station
	Needle   *tick
	Alt      string
}

// tick is a place on the scale, in percent of its width.
type tick struct {
	At    string
	Label string
}

// station is a reading on the scale.
type station struct {
	tick
	Kind string // core and hand, as a class of the style sheet
}

func newDial(r *model.Result, p *panel) *dial {
	low, high := math.Inf(1), 0.0
	take := func(f float64) { low, high = math.Min(low, f), math.Max(high, f) }
	for i := range r.Readings {
		take(r.Readings[i].Frequency)
	}
	lowest, highest := low, high
	if p != nil {
		for i := range p.Modes {
			take(p.Modes[i].reach())
		}
	}
	d := &dial{}
	bare := r.Find(quantities.Key{Name: quantities.BareFrequency})
	if bare.Determined {
		take(bare.Value)
	}
	u := quantity.UnitFor(high, 0, "Hz")
	d.Unit, d.Scale = u.Symbol, u.ToSI(1)
	step := niceAbove((u.FromSI(high) - u.FromSI(low) + 0.02*u.FromSI(high)) / 6)
	first, last := math.Floor(u.FromSI(low)/step*0.9999), math.Ceil(u.FromSI(high)/step*1.0001)
	d.Min, d.Max = u.ToSI(first*step), u.ToSI(last*step)
	for n := first; n <= last; n++ {
		d.Ticks = append(d.Ticks, tick{d.at(u.ToSI(n * step)), quantity.Digits(math.Round(n*step*1e6)/1e6, -1)})
	}
	if bare.Determined {
		d.Needle = &tick{d.at(bare.Value), "bare"}
	}
	d.place(r)
	d.Alt = fmt.Sprintf("A scale of frequency from %s to %s with the %d readings on it, the lowest at %s and the highest at %s.",
		quantity.FormatValue(d.Min, 3, "Hz"), quantity.FormatValue(d.Max, 3, "Hz"), len(r.Readings),
		quantity.FormatValue(lowest, 4, "Hz"), quantity.FormatValue(highest, 4, "Hz"))
	return d
}

// mostStations is the number of readings beyond which a scale is a smear.
const mostStations = 400

func (d *dial) place(r *model.Result) {
	step := 1 + (len(r.Readings)-1)/mostStations
	for i := 0; i < len(r.Readings); i += step {
		o := &r.Readings[i]
		kind := "plain"
		switch c := o.State.Condition(); {
		case c.Core != "":
			kind = "core"
		case !math.IsInf(c.Hand, 1):
			kind = "hand"
		}
		label := fmt.Sprintf("line %d, %s, %s", o.Line, wording.State(o.State, r.Parts()), quantity.Format(o.Frequency, o.Uncertainty, "Hz"))
		d.Stations = append(d.Stations, station{tick{d.at(o.Frequency), label}, kind})
	}
}

func (d *dial) at(f float64) string {
	return quantity.Decimals(100*(f-d.Min)/(d.Max-d.Min), 3)
}

// reach is the lowest frequency that the sliders give in mode m.
func (m *mode) reach() float64 {
	x := make([]float64, len(m.axes))
	least := math.Inf(1)
	for corner := range 1 << len(x) {
		for i, a := range m.axes {
			x[i] = a.From
			if corner>>i&1 == 1 {
				x[i] = a.To
			}
		}
		f, _ := m.at(x)
		least = math.Min(least, f)
	}
	return least
}
