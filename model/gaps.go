package model

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/fit"
)

// splitDetermined tells whether the readings tell inductance from capacitance.
func (r *Result) splitDetermined() bool { return r.splits(r.cov) }

// splits is splitDetermined by the covariance c.
func (r *Result) splits(c fit.Covariance) bool {
	return relative(c, r.problem.n, atC) <= vague && r.fit.AtBound[atC] == fit.Free && r.fit.AtBound[atL] == fit.Free
}

// restsOnSplit tells whether a quantity has no meaning while only the product
// of inductance and capacitance is known.
func restsOnSplit(name string) bool {
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
	var left []*Estimate
	for _, list := range [][]Estimate{r.Parameters, r.Derived} {
		for i := range list {
			if !list[i].Determined {
				left = append(left, &list[i])
			}
		}
	}
	what, advice, open := r.openSplit()
	add := func(g Undetermined, concerned func(e *Estimate) bool) {
		var rest []*Estimate
		for _, e := range left {
			if !concerned(e) {
				rest = append(rest, e)
			} else if !slices.Contains(g.Names, e.Name) {
				g.Names = append(g.Names, e.Name)
			}
		}
		left = rest
		if len(g.Names) > 0 {
			g.Together = open && len(gaps) > 0 && gaps[0].What == what
			gaps = append(gaps, g)
		}
	}
	add(Undetermined{What: GapScatter, Advice: FindMisread}, func(e *Estimate) bool { return e.scattered })
	if open {
		add(Undetermined{What: what, Advice: advice}, func(e *Estimate) bool {
			return e.Core == "" && e.Part == "" && e.Hand == 0 && !handLaw(e.Name) && !ofBench(e.Name) && !ofShape(e.Name)
		})
	}
	shape := Undetermined{What: GapShape, Advice: AddMuchLarger}
	if lead := r.Find(LeadCapacitance, "", "", 0); lead != nil && !lead.Determined {
		shape.Advice = AddMuchLargerAndClip
	}
	add(shape, func(e *Estimate) bool { return ofShape(e.Name) })
	for _, c := range r.problem.cores {
		g := Undetermined{What: GapCore, Core: c.name, Advice: ReadCoreWithCapacitor}
		if !r.readInAir() {
			g.What, g.Advice = GapCoreAlways, ReadWithoutCore
		} else if r.Find(CoreGain, c.name, "", 0).Determined {
			g.What = GapCoreAdds
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
	if d := r.problem.distances; len(d) > 3 && slices.Max(d) >= 4*slices.Min(d) {
		law = Undetermined{What: GapHandCoarse, Advice: RepeatDistances}
	}
	if r.handWithCoreOnly() {
		add(Undetermined{What: GapHandCore, Advice: ReadHandAlone}, func(e *Estimate) bool { return e.Hand > 0 })
	}
	add(law, func(e *Estimate) bool { return handLaw(e.Name) || e.Hand > 0 })
	add(Undetermined{What: GapLead, Advice: ReadEmptyClip}, func(e *Estimate) bool { return e.Name == LeadCapacitance })
	add(Undetermined{What: GapDrift, Advice: ReadFirstAgain}, func(e *Estimate) bool { return e.Name == Drift })
	add(Undetermined{What: GapOther, Advice: MoreReadings}, func(*Estimate) bool { return true })
	return gaps
}

// ofShape tells whether a quantity says how the capacitance is shared along the coil.
func ofShape(name string) bool {
	return name == WindingCapacitance || name == TopCapacitance || name == StrayCapacitance
}

// handWithCoreOnly tells whether each reading with a hand has a core in that no
// reading without a hand has: what either does can't be told then.
func (r *Result) handWithCoreOnly() bool {
	alone := map[string]bool{"": true} // cores read with nobody near
	for _, i := range r.problem.rows {
		if s := &r.session.Log.Readings[i].State; math.IsInf(s.Hand, 1) {
			alone[s.Core] = true
		}
	}
	for _, i := range r.problem.rows {
		if s := &r.session.Log.Readings[i].State; !math.IsInf(s.Hand, 1) && alone[s.Core] {
			return false
		}
	}
	return true
}

// ofBench tells whether a quantity is one of the bench and not of the coil.
func ofBench(name string) bool { return name == LeadCapacitance || name == Drift }

func handLaw(name string) bool {
	return name == HandStrength || name == HandOffset || name == HandExponent
}

// openSplit tells why inductance and capacitance are not known apart.
func (r *Result) openSplit() (what Gap, advice Advice, open bool) {
	if r.relative(atL) <= vague && r.splitDetermined() {
		return GapNeverPlain, ReadPlain, !r.readPlain()
	}
	switch {
	case r.splitDetermined() && !r.readInAir():
		return GapCoreAlways, ReadWithoutCore, true
	case !r.addedDiffers():
		return GapSplit, AddKnownCapacitor, true
	case !r.readPlain():
		return GapNeverPlain, ReadPlain, true
	case r.belowZero():
		return GapNegative, CheckParts, true
	case r.addsMuch():
		return GapCapacitance, ReadBareOrSmall, true
	}
	return GapSpread, AddLargerCapacitor, true
}

// addedDiffers tells whether two used readings differ by known capacitance on
// the top and nothing else.
func (r *Result) addedDiffers() bool {
	known := map[string]float64{} // capacitance of the first reading, by all else
	for _, i := range r.problem.rows {
		s := &r.session.Log.Readings[i].State
		c := s.Exact
		var unknown []int
		for _, p := range s.Parts {
			if part := r.problem.parts[p]; part.Known {
				c += part.Capacitance
			} else {
				unknown = append(unknown, p)
			}
		}
		slices.Sort(unknown)
		rest := fmt.Sprint(s.Condition(), unknown)
		if first, ok := known[rest]; ok && first != c {
			return true
		}
		known[rest] = c
	}
	return false
}

// readPlain tells whether any used reading has neither an unknown part nor a
// hand.
func (r *Result) readPlain() bool {
	return slices.ContainsFunc(r.problem.rows, func(i int) bool { return r.problem.plain(&r.session.Log.Readings[i].State) })
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
