package report

import (
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// CarriedJSON is what a later session goes on with.
type CarriedJSON struct {
	Sessions []CarriedSession `json:"sessions"`
	Known    []CarriedKnown   `json:"known"`
}

// CarriedSession is what one session read, the earliest first.
type CarriedSession struct {
	Log      string           `json:"log"`
	SHA256   string           `json:"log_sha256"`
	Bench    int              `json:"bench,omitempty"`
	Scale    float64          `json:"scale_factor"`
	Checked  float64          `json:"redundancy"`
	Squares  float64          `json:"chi_square"`
	Freedom  float64          `json:"degrees_of_freedom"`
	Parts    []CarriedPart    `json:"parts"`
	Readings []CarriedReading `json:"readings"`
	Shared   [][]float64      `json:"shared_errors"`
}

// CarriedPart is a part as it was stated; without a capacitance, one of unknown value.
type CarriedPart struct {
	Name        string   `json:"name"`
	Capacitance *float64 `json:"capacitance,omitempty"`
	Uncertainty float64  `json:"standard_uncertainty,omitempty"`
	Lot         string   `json:"lot,omitempty"`
	Common      float64  `json:"in_common,omitempty"`
	Default     bool     `json:"default,omitempty"`
	Rectangular bool     `json:"rectangular,omitempty"`
}

// CarriedReading is the frequency of a state.
type CarriedReading struct {
	Added     []string    `json:"added"`
	Clip      bool        `json:"clip,omitempty"`
	Core      string      `json:"core,omitempty"`
	Covered   *[2]float64 `json:"covered,omitempty"`
	Hand      *float64    `json:"hand,omitempty"`
	Frequency float64     `json:"frequency"`
	Relative  float64     `json:"relative_uncertainty"`
}

// CarriedKnown is a value that a session was told.
type CarriedKnown struct {
	Name        string  `json:"name"`
	Core        string  `json:"core,omitempty"`
	Value       float64 `json:"value"`
	Uncertainty float64 `json:"standard_uncertainty"`
}

// carried is what r and the sessions before it bring to a later one; nil for too many readings.
func carried(r *model.Result, src Source) *CarriedJSON {
	list := r.Carry()
	if len(list) == 0 {
		return nil
	}
	last := &list[len(list)-1]
	last.Log, last.SHA256 = src.Log, src.SHA256
	return &CarriedJSON{each(list, carriedSession), each(last.Known, func(k *quantities.Known) CarriedKnown {
		return CarriedKnown{k.Name, k.Core, k.Value, k.Uncertainty}
	})}
}

func carriedSession(e *estimation.Earlier) CarriedSession {
	j := CarriedSession{Log: e.Log, SHA256: e.SHA256, Bench: e.Bench, Scale: e.Scale, Checked: e.Checked, Squares: e.Squares, Freedom: e.Freedom,
		Readings: []CarriedReading{}, Shared: append([][]float64{}, e.Shared...)}
	j.Parts = each(e.Parts, func(p *readings.Part) CarriedPart {
		part := CarriedPart{Name: p.Name, Lot: p.Lot, Common: p.Common, Default: p.Default, Rectangular: p.Rectangular}
		if p.Known {
			part.Capacitance, part.Uncertainty = &p.Capacitance, p.Uncertainty
		}
		return part
	})
	for i, s := range e.States {
		r := CarriedReading{Added: append([]string{}, readings.Names(s.Of(e.Parts))...), Clip: s.Clip, Core: s.Core, Hand: number(s.Hand), Frequency: e.Hertz[i], Relative: e.Relative[i]}
		if s.Core != "" {
			r.Covered = &[2]float64{s.From, s.To}
		}
		j.Readings = append(j.Readings, r)
	}
	return j
}
