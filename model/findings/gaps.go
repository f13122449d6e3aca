package findings

import (
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// Undetermined is a quantity, or several, that the readings leave open.
type Undetermined struct {
	What   Gap
	Core   string
	Part   string
	Names  []string  // the quantities concerned
	Hands  []float64 // distances [m] at which the drop of the frequency by a hand is among these
	Advice Advice
	// WithFirst tells that the advice helps together with that of the first gap, which is
	// that inductance and capacitance are not known apart.
	WithFirst bool
}

// Gap names what the readings leave open.
type Gap int

// What readings can leave open.
const (
	GapSplit       Gap = iota // only the product of inductance and capacitance is fixed
	GapSpread                 // the added capacitances differ too little
	GapCoreAlways             // the core is in every reading
	GapCore                   // the core's gain
	GapHandLaw                // the hand's strength and offset, from too few distances
	GapHandCoarse             // the same, from readings that cannot resolve it
	GapHandCore               // the hand, since it was read only with a core that was never read without
	GapPart                   // a part without a value
	GapScatter                // what the readings would determine if they agreed as well as stated
	GapNeverPlain             // an unknown part or a hand is in every reading
	GapShape                  // how the capacitance is shared between winding and top
	GapCoreAdds               // what a core adds in capacitance, its gain being known
	GapNegative               // the coil's capacitance: that of the readings is below zero
	GapCapacitance            // the coil's capacitance, small beside all that was added
	GapLead                   // what clips and leads bring
	GapDrift                  // how far frequencies drift in a session
	GapCoupling               // the coupling of a primary
	GapWindings               // the same of the windings, that at resonance being known
	GapLosses                 // how losses divide
	GapOther
)

// Advice names the remedy.
type Advice int

// Remedies.
const (
	AddKnownCapacitor Advice = iota
	AddLargerCapacitor
	ReadWithoutCore
	ReadCoreWithCapacitor
	ReadMoreDistances
	RepeatDistances
	ReadPartWithKnown
	MoreReadings
	FindMisread
	ReadOftener // readings of one state differ
	ReadPlain
	ReadHandAlone
	ReadEmptyClip
	ReadFirstAgain
	AddMuchLarger
	AddMuchLargerAndClip
	CheckParts
	ReadBareOrSmall
	ReadPrimaryOpenAndShorted
	ReadShortedLoaded
	ReadQuality
)

// Gaps lists what the readings leave open, each with what would close it. Every
// undetermined estimate is named in one of them.
func Gaps(r *estimation.Result) []Undetermined {
	var gaps []Undetermined
	var left []*quantities.Estimate
	for e := range r.All() {
		if !e.Determined {
			left = append(left, e)
		}
	}
	what, advice, open := openSplit(r)
	add := func(g Undetermined, concerned func(e *quantities.Estimate) bool) {
		var rest []*quantities.Estimate
		for _, e := range left {
			switch {
			case !concerned(e):
				rest = append(rest, e)
				continue
			case !slices.Contains(g.Names, e.Name):
				g.Names = append(g.Names, e.Name)
			}
			if e.Name == quantities.HandFrequencyDrop {
				g.Hands = append(g.Hands, e.Hand)
			}
		}
		left = rest
		if len(g.Names) > 0 {
			g.WithFirst = open && len(gaps) > 0 && gaps[0].What == what
			gaps = append(gaps, g)
		}
	}
	scatter := Undetermined{What: GapScatter, Advice: FindMisread}
	scattered := func(e *quantities.Estimate) bool { return e.Scattered }
	if slices.ContainsFunc(left, scattered) && repeatScatter(r).Explain() {
		scatter.Advice = ReadOftener
	}
	add(scatter, scattered)
	if open {
		add(Undetermined{What: what, Advice: advice}, func(e *quantities.Estimate) bool {
			return e.Core == "" && e.Part == "" && e.Hand == 0 && !quantities.OfCoupling(e.Name) && !quantities.OfLoss(e.Name) && !quantities.HandLaw(e.Name) && !quantities.OfBench(e.Name) && !quantities.OfShape(e.Name)
		})
	}
	shape := Undetermined{What: GapShape, Advice: AddMuchLarger}
	if lead := r.Find(quantities.Key{Name: quantities.LeadCapacitance}); lead != nil && !lead.Determined {
		shape.Advice = AddMuchLargerAndClip
	}
	add(shape, func(e *quantities.Estimate) bool { return quantities.OfShape(e.Name) })
	for _, c := range r.Problem.Cores {
		g := Undetermined{What: GapCore, Core: c.Name, Advice: ReadCoreWithCapacitor}
		if !readInAir(r) {
			g.What, g.Advice = GapCoreAlways, ReadWithoutCore
		} else if r.Find(quantities.Key{Name: quantities.CoreGain, Core: c.Name}).Determined {
			g.What = GapCoreAdds
		}
		add(g, func(e *quantities.Estimate) bool {
			return e.Core == c.Name && !quantities.OfCoupling(e.Name) && !quantities.OfLoss(e.Name)
		})
	}
	for i := range r.Problem.Couplings {
		core := r.Problem.Couplings[i].Core
		g := Undetermined{What: GapCoupling, Core: core, Advice: ReadPrimaryOpenAndShorted}
		if r.Find(quantities.Key{Name: quantities.CouplingAtResonance, Core: core}).Determined {
			g.What, g.Advice = GapWindings, ReadShortedLoaded
		}
		add(g, func(e *quantities.Estimate) bool { return e.Core == core && quantities.OfCoupling(e.Name) })
	}
	add(Undetermined{What: GapLosses, Advice: ReadQuality}, func(e *quantities.Estimate) bool { return quantities.OfLoss(e.Name) })
	for p, k := range r.Problem.PartAt {
		if k >= 0 {
			name := r.Problem.Parts[p].Name
			add(Undetermined{What: GapPart, Part: name, Advice: ReadPartWithKnown},
				func(e *quantities.Estimate) bool { return e.Part == name })
		}
	}
	law := Undetermined{What: GapHandLaw, Advice: ReadMoreDistances}
	if d := r.Problem.Distances; len(d) > 3 && slices.Max(d) >= 4*slices.Min(d) && (coarse(r, slices.Min(d)) || coarse(r, slices.Max(d))) {
		law = Undetermined{What: GapHandCoarse, Advice: RepeatDistances}
	}
	if handWithCoreOnly(r) {
		add(Undetermined{What: GapHandCore, Advice: ReadHandAlone}, func(e *quantities.Estimate) bool { return e.Hand > 0 })
	}
	add(law, func(e *quantities.Estimate) bool { return quantities.HandLaw(e.Name) || e.Hand > 0 })
	add(Undetermined{What: GapLead, Advice: ReadEmptyClip}, func(e *quantities.Estimate) bool { return e.Name == quantities.LeadCapacitance })
	add(Undetermined{What: GapDrift, Advice: ReadFirstAgain}, func(e *quantities.Estimate) bool { return e.Name == quantities.Drift })
	add(Undetermined{What: GapOther, Advice: MoreReadings}, func(*quantities.Estimate) bool { return true })
	return gaps
}

// coarse tells that what a hand at d [m] does is known less well than the law of its capacitance holds at one
// distance, so that reading it again helps to find the law.
func coarse(r *estimation.Result, d float64) bool {
	e := r.Find(quantities.Key{Name: quantities.HandFrequencyDrop, Hand: d})
	return e == nil || !e.Determined || e.Uncertainty > forward.HandSpread*e.Value
}

// openSplit tells why inductance and capacitance are not known apart.
func openSplit(r *estimation.Result) (what Gap, advice Advice, open bool) {
	if r.Relative(forward.AtL) <= estimation.Vague && r.SplitDetermined() {
		return GapNeverPlain, ReadPlain, !readPlain(r)
	}
	_, _, below := belowZero(r)
	switch {
	case r.SplitDetermined() && !readInAir(r):
		return GapCoreAlways, ReadWithoutCore, true
	case !addedDiffers(r):
		return GapSplit, AddKnownCapacitor, true
	case !readPlain(r):
		return GapNeverPlain, ReadPlain, true
	case below:
		return GapNegative, CheckParts, true
	case addsMuch(r):
		return GapCapacitance, ReadBareOrSmall, true
	}
	return GapSpread, AddLargerCapacitor, true
}
