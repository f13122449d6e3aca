package model

import (
	"math"
	"slices"
)

// splitDetermined tells whether the readings tell inductance from capacitance.
func (r *Result) splitDetermined() bool {
	return r.relative(atC) <= vague && r.fit.AtBound[atC] == 0 && r.fit.AtBound[atL] == 0
}

// restsOnSplit tells whether a quantity has no meaning while only the product
// of inductance and capacitance is known.
func (r *Result) restsOnSplit(name string) bool {
	switch name {
	case WindingCapacitance, TopCapacitance, CoreCapacitance:
		return true
	}
	return false
}

// gaps lists what the readings leave open, each with what would close it. Every
// undetermined estimate is named in one of them.
func (r *Result) gaps() []Undetermined {
	var gaps []Undetermined
	add := func(g Undetermined, concerned func(e *Estimate) bool) {
		for _, list := range [][]Estimate{r.Parameters, r.Derived} {
			for i := range list {
				if e := &list[i]; !e.Determined && !named(gaps, e.Name, g.Core, g.Part) && concerned(e) {
					g.Names = append(g.Names, e.Name)
				}
			}
		}
		if len(g.Names) > 0 {
			gaps = append(gaps, g)
		}
	}
	if what, advice, open := r.openSplit(); open {
		add(Undetermined{What: what, Advice: advice}, func(e *Estimate) bool { return e.Core == "" && e.Part == "" && e.Hand == 0 && !handLaw(e.Name) })
	}
	for _, c := range r.problem.cores {
		g := Undetermined{What: GapCore, Core: c.name, Advice: ReadCoreWithCapacitor}
		if !r.readInAir() {
			g.What, g.Advice = GapCoreAlways, ReadWithoutCore
		}
		add(g, func(e *Estimate) bool { return e.Core == c.name })
	}
	for p, k := range r.problem.partAt {
		if k >= 0 {
			name := r.problem.parts[p].Name
			add(Undetermined{What: GapPart, Part: name, Advice: ReadPartWithKnown},
				func(e *Estimate) bool { return e.Part == name })
		}
	}
	law := Undetermined{What: GapHandLaw, Advice: ReadMoreDistances}
	if d := r.problem.distances; len(d) > 2 && slices.Max(d) >= 2*slices.Min(d) {
		law = Undetermined{What: GapHandCoarse, Advice: RepeatDistances}
	}
	add(law, func(e *Estimate) bool { return handLaw(e.Name) || e.Hand > 0 })
	add(Undetermined{What: GapOther, Advice: MoreReadings}, func(*Estimate) bool { return true })
	return gaps
}

func handLaw(name string) bool {
	return name == HandStrength || name == HandOffset || name == HandExponent
}

// named tells whether a gap with these labels names the quantity already.
func named(gaps []Undetermined, name, core, part string) bool {
	for _, g := range gaps {
		if g.Core == core && g.Part == part {
			for _, n := range g.Names {
				if n == name {
					return true
				}
			}
		}
	}
	return false
}

// openSplit tells why inductance and capacitance are not known apart.
func (r *Result) openSplit() (what Gap, advice Advice, open bool) {
	if r.relative(atL) <= vague && r.splitDetermined() {
		return 0, 0, false
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, i := range r.problem.rows {
		s := &r.session.Log.Readings[i].State
		if r.problem.plain(s) {
			c := s.Exact
			for _, p := range s.Parts {
				c += r.problem.parts[p].Capacitance
			}
			least, most = math.Min(least, c), math.Max(most, c)
		}
	}
	switch {
	case r.splitDetermined() && !r.readInAir():
		return GapCoreAlways, ReadWithoutCore, true
	case most > least:
		return GapSpread, AddLargerCapacitor, true
	}
	return GapSplit, AddKnownCapacitor, true
}

// readInAir tells whether any used reading has no core.
func (r *Result) readInAir() bool {
	for _, i := range r.problem.rows {
		if r.session.Log.Readings[i].Core == "" {
			return true
		}
	}
	return false
}
