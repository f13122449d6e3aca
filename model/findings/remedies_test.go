package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Whatever is open has a remedy that closes just that, in any session.
func TestEachGapHasItsRemedy(t *testing.T) {
	closes := map[Gap][]Advice{
		GapSplit: {AddKnownCapacitor}, GapSpread: {AddLargerCapacitor}, GapCoreAlways: {ReadWithoutCore}, GapCore: {ReadCoreWithCapacitor}, GapCoreAdds: {ReadCoreWithCapacitor},
		GapHandLaw: {ReadMoreDistances}, GapHandCoarse: {RepeatDistances}, GapHandCore: {ReadHandAlone}, GapPart: {ReadPartWithKnown}, GapNeverPlain: {ReadPlain},
		GapShape: {AddMuchLarger, AddMuchLargerAndClip}, GapNegative: {CheckParts}, GapCapacitance: {ReadBareOrSmall}, GapLead: {ReadEmptyClip}, GapDrift: {ReadFirstAgain},
		GapCoupling: {ReadPrimaryOpenAndShorted}, GapWindings: {ReadShortedLoaded}, GapLosses: {ReadQuality}, GapScatter: {FindMisread, ReadOftener}, GapOther: {MoreReadings},
	}
	seen := map[Gap]bool{}
	core := simulated.Added().Rod(1)
	for _, steps := range [][]simulated.Step{
		{simulated.Added()}, {simulated.Added(), simulated.Added()}, {simulated.Added(), simulated.Added(4.7)}, {simulated.Added(), core}, {core, core},
		{simulated.Added(), simulated.Added(simulated.Spike), simulated.Added()}, {simulated.Added(), simulated.Added(4.7), core, simulated.Added().Near(0.1)},
		{simulated.Added(22), simulated.Added(47)}, {simulated.Added(), simulated.EmptyClip()},
	} {
		s := sessionOf(90, steps...)
		for _, shorted := range []bool{false, true} {
			if shorted {
				last := s.Log.Readings[len(s.Log.Readings)-1]
				last.Primary.Kind, last.Line = readings.PrimaryShorted, 99
				s.Log.Readings = append(slices.Clone(s.Log.Readings), last)
			}
			s.Log.Readings[0].Quality = 100
			r := fitted(t, s)
			for _, g := range Gaps(r) {
				seen[g.What] = true
				if !slices.Contains(closes[g.What], g.Advice) {
					t.Errorf("%d steps, gap %v (%v): remedy %v", len(steps), g.What, g.Names, g.Advice)
				}
			}
		}
	}
	for _, g := range []Gap{GapSplit, GapShape, GapCore, GapPart, GapLead, GapDrift, GapHandLaw, GapCoupling} {
		if !seen[g] {
			t.Errorf("no session has gap %v", g)
		}
	}
}

// Two rows exchanged are each frequency with its own ±: the coarse one stays coarse.
func TestExchangedRowsKeepTheirUncertainties(t *testing.T) {
	s := sessionOf(91, append(full(), full()...)...)
	a, b := &s.Log.Readings[1], &s.Log.Readings[2]
	a.Uncertainty = 0.01 * a.Frequency
	a.Frequency *= 1.007
	a.Frequency, b.Frequency, a.Uncertainty, b.Uncertainty = b.Frequency, a.Frequency, b.Uncertainty, a.Uncertainty
	r := fitted(t, s)
	m := findMistake(r, nil)
	if m == nil || m.Kind != MistakenRows || !slices.Equal(m.Lines, []int{a.Line, b.Line}) {
		t.Errorf("%+v", m)
	}
}

// Parts of one lot that are all off by what they have in common contradict its tolerance, though
// each by itself agrees with the others; what isn't of tolerances is as it should be.
func TestToleranceInCommonContradicted(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added(10)}
	s := sessionOf(92, steps...)
	for i := range s.Log.Parts {
		p := &s.Log.Parts[i]
		p.Capacitance *= 1.1
		p.Uncertainty, p.Lot, p.Common = 0.01*p.Capacitance, "reel", 0.95
	}
	s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 2e-6}, {Key: quantities.Key{Name: quantities.LeadCapacitance}}, {Key: quantities.Key{Name: quantities.Drift}}}
	r := fitted(t, s)
	f, found := tolerancesContradicted(r)
	if !found || !(f.Value < improbable) || !(math.Abs(r.Solution.X[r.Problem.Lots[0].At]) > 4) {
		t.Errorf("%+v %v; the lot is off by %v", f, found, r.Solution.X[r.Problem.Lots[0].At])
	}
}

// Capacitors written a thousand times too large make an inductance a thousand times too small; what
// would follow from them as meant is told beside the slip.
func TestSlipOfAddedUnits(t *testing.T) {
	for _, k := range []float64{1e3, 1e-3, 1e6} {
		s := sessionOf(94, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(22))
		meant := fitted(t, s)
		for i := range s.Log.Parts {
			s.Log.Parts[i].Capacitance *= k
			s.Log.Parts[i].Uncertainty *= k
		}
		s.Lumped = true // its capacitance goes with the parts' alone
		list := CheckPlausible(fitted(t, s))
		if len(list) != 1 || list[0].Slip == nil {
			t.Errorf("× %v: %+v", k, list)
			continue
		}
		slip := list[0].Slip
		l, c := meant.Find(quantities.Key{Name: quantities.Inductance}).Value, meant.Find(quantities.Key{Name: quantities.EffectiveCapacitance}).Value
		near.Times(t, "factor", slip.Factor*k, 1, 1e-9)
		near.Times(t, "inductance", slip.Inductance, l, 0.3)
		near.Times(t, "impedance", slip.Impedance, math.Sqrt(l/c), 0.3)
		if !slip.Added {
			t.Errorf("× %v: the slip is said to be in the frequencies", k)
		}
	}
}

// What of a core, or of a primary's coupling, is open: the rest where the one that readings tell first is
// known, with its own remedy.
func TestWhatOfACoreOrCouplingIsOpen(t *testing.T) {
	seen := map[Gap]int{}
	for _, steps := range [][]simulated.Step{
		{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added().Rod(1)}, {simulated.Added(), simulated.Added(4.7), simulated.Added()},
		{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added().Rod(0.5), simulated.Added().Rod(0.2)},
	} {
		for _, larger := range []float64{1, 50} {
			s := sessionOf(150, steps...)
			for _, i := range []int{0, len(s.Log.Readings) - 1} {
				o := s.Log.Readings[i]
				o.Primary.Kind, o.Frequency = readings.PrimaryShorted, 1.02*o.Frequency
				s.Log.Readings = append(slices.Clone(s.Log.Readings), o)
			}
			for i := range s.Log.Readings {
				s.Log.Readings[i].Uncertainty *= larger
			}
			r := fitted(t, s)
			for _, g := range Gaps(r) {
				want := g
				switch g.What {
				case GapCore, GapCoreAdds:
					if want.What, want.Advice = GapCore, ReadCoreWithCapacitor; r.Find(quantities.Key{Name: quantities.CoreGain, Core: g.Core}).Determined {
						want.What = GapCoreAdds
					}
				case GapCoupling, GapWindings:
					if want.What, want.Advice = GapCoupling, ReadPrimaryOpenAndShorted; r.Find(quantities.Key{Name: quantities.CouplingAtResonance, Core: g.Core}).Determined {
						want.What, want.Advice = GapWindings, ReadShortedLoaded
					}
				}
				seen[g.What]++
				if g.What != want.What || g.Advice != want.Advice {
					t.Errorf("%v of %q open: %v, remedy %v, want %v, %v", g.Names, g.Core, g.What, g.Advice, want.What, want.Advice)
				}
			}
		}
	}
	for _, g := range []Gap{GapCore, GapCoreAdds, GapCoupling, GapWindings} {
		if seen[g] == 0 {
			t.Errorf("no session has gap %v", g)
		}
	}
}
