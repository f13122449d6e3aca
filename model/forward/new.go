package forward

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
	"fitcoil/stable"
)

// Earlier is what earlier sessions ask of the unknowns.
type Earlier struct {
	States  []readings.State // read in them
	Benches int              // number of benches other than the present one
}

// newUnknowns lists what the used readings of log and those of earlier sessions depend on,
// and after that what the further states do, of a coil that r resonates for: with all
// capacitance at the top where it is lumped, and no unknown of the bench that is known to be
// nothing.
func newUnknowns(log *readings.Log, r resonator.Resonator, lumped bool, known []quantities.Known, earlier Earlier, further []readings.State) Unknowns {
	u := Unknowns{N: 2, Share: -1, Hand: -1, Lead: -1, Drift: -1, PartAt: make([]int, len(log.Parts)), LotAt: make([]int, len(log.Parts))}
	_, u.Line = r.(*resonator.Line)
	if !lumped {
		u.Share = u.Take(1)
	}
	for i := range u.PartAt {
		u.PartAt[i], u.LotAt[i] = -1, -1
	}
	used := log.Used()
	for i := range earlier.States {
		u.include(log.Parts, &earlier.States[i], &ownParts{})
	}
	o := newOwnParts(log)
	for s := range used {
		u.include(log.Parts, s, o)
	}
	u.addPlaces(used, nil)
	seen := readings.All(readings.Each(earlier.States), used)
	if u.Hand >= 0 {
		u.addDistances(seen)
	}
	u.addLots(log.Parts, seen)
	if !quantities.RulesOut(known, quantities.LeadCapacitance) {
		u.addLead(seen, known)
	}
	if from, to := log.Span(); to > from && !quantities.RulesOut(known, quantities.Drift) { // readings that took time
		u.Drift = u.Take(1)
	}
	for range earlier.Benches {
		u.Strays = append(u.Strays, u.Take(1))
	}
	o.read = true
	for i := range further {
		u.include(log.Parts, &further[i], o)
	}
	u.addPlaces(used, further)
	u.addLots(log.Parts, readings.Each(further))
	if !quantities.RulesOut(known, quantities.LeadCapacitance) {
		u.addLead(readings.Each(further), nil)
	}
	u.Owned = len(o.taken)
	for _, p := range o.taken {
		u.PartAt[p] = u.Take(1)
	}
	if u.Hand >= 0 {
		u.scaleHand(seen, further)
	}
	return u
}

// scaleHand fixes the distance at which the hand's capacitance is an unknown: in
// the middle of those read, or of those to come if none was.
func (u *Unknowns) scaleHand(used iter.Seq[*readings.State], further []readings.State) {
	u.Distances = readings.Distances(used)
	if len(u.Distances) == 0 {
		u.Distances = readings.Distances(readings.Each(further))
	}
	u.HandScale = stat.GeometricMean(u.Distances, nil)
}

// addDistances makes room for what the hand's law errs at each distance, where they are more than it has
// unknowns: it passes through three of them whatever they are.
func (u *Unknowns) addDistances(used iter.Seq[*readings.State]) {
	if list := readings.Distances(used); len(list) > 3 && len(list) <= MostPlaces {
		for _, d := range list {
			u.Near = append(u.Near, distance{d, u.Take(1)})
		}
	}
}

// include makes room for what s depends on, but for parts of their own.
func (u *Unknowns) include(parts []readings.Part, s *readings.State, o *ownParts) {
	if s.Core != "" {
		u.addCore(s)
	}
	for _, p := range s.Parts {
		if u.PartAt[p] < 0 && parts[p].Open() && !o.take(p) {
			u.PartAt[p] = u.Take(1)
		}
	}
	if s.Primary.Kind != readings.PrimaryOpen {
		u.addCoupling(s)
	}
	if u.Hand < 0 && !math.IsInf(s.Hand, 1) {
		u.Hand = u.Take(3)
	}
}

// addCore makes room for the core of s, or notes a deeper insertion of it.
func (u *Unknowns) addCore(s *readings.State) {
	for i := range u.Cores {
		if c := &u.Cores[i]; c.Name == s.Core {
			if s.To-s.From > c.to-c.from {
				c.from, c.to = s.From, s.To
			}
			return
		}
	}
	c := coreUnknown{s.Core, u.Take(2), -1, s.From, s.To}
	if u.Line {
		c.Ends = u.Take(2)
	}
	u.Cores = append(u.Cores, c)
}

// addLots makes room for the lots of the parts in states: of those that two parts come
// from, or that are all there is to a part's error. Of a single part nothing tells what is
// its own from what isn't.
func (u *Unknowns) addLots(parts []readings.Part, states iter.Seq[*readings.State]) {
	seen := make([]bool, len(parts))
	count := map[string]int{}
	for s := range states {
		for _, p := range s.Parts {
			part := &parts[p]
			if seen[p] || !part.Shares() {
				continue
			}
			seen[p] = true
			count[part.Lot]++
			if (count[part.Lot] == 2 || part.Common == 1) && u.LotOf(part) < 0 {
				u.Lots = append(u.Lots, Lot{part.Lot, u.Take(1)})
			}
		}
	}
	for i := range parts {
		u.LotAt[i] = u.LotOf(&parts[i])
	}
}

// addLead makes room for the lead's capacitance if one of states has it, or a value is
// known.
func (u *Unknowns) addLead(states iter.Seq[*readings.State], known []quantities.Known) {
	if u.Lead < 0 && slices.ContainsFunc(known, func(k quantities.Known) bool { return k.Name == quantities.LeadCapacitance }) {
		u.Lead = u.Take(1)
	}
	for s := range states {
		if u.Lead < 0 && s.Clipped() {
			u.Lead = u.Take(1)
		}
	}
}

// addPlaces makes room for the places in which the used readings and the further
// states stand more than once. Of a single reading the model's error is as good as its
// own, and costs no unknown.
func (u *Unknowns) addPlaces(used iter.Seq[*readings.State], further []readings.State) {
	count := map[readings.Stretch]int{}
	add := func(s *readings.State, n int) {
		if !s.Partly() {
			return
		}
		before := count[s.Stretch()]
		count[s.Stretch()] += n
		if before < 2 && before+n >= 2 && u.Place(s) < 0 {
			u.Places = append(u.Places, place{s.Stretch(), u.Take(1)})
		}
	}
	for s := range used {
		if len(u.Places) < MostPlaces {
			add(s, 1)
		}
	}
	for i := range further { // they may be read again and again
		add(&further[i], 2)
	}
}

// manyParts is the number of parts from which on it pays to eliminate them: with 17 a fit takes as
// long either way, with 35 a quarter (computed, as BenchmarkFit256Parts).
const manyParts = 24

// ownParts chooses parts no two of which are in one reading, so that each hangs on
// its own readings only and can be eliminated. Where a reading couples some, as
// `4.7+10` does, the one that is coupled least is chosen.
type ownParts struct {
	rows   map[int][]int // readings of each open part; nil where parts are few
	chosen map[int]bool
	read   bool // all readings are through: further parts hang on none
	listed map[int]bool
	taken  []int // those chosen, in the order in which they came
}

func newOwnParts(log *readings.Log) *ownParts {
	if len(log.Parts) < manyParts {
		return &ownParts{}
	}
	o := &ownParts{rows: map[int][]int{}, chosen: map[int]bool{}, listed: map[int]bool{}}
	coupled := map[int]int{}
	n := 0
	for s := range log.Used() {
		for _, p := range s.Parts {
			if log.Parts[p].Open() {
				coupled[p] += len(s.Parts) - 1
				o.rows[p] = append(o.rows[p], n)
			}
		}
		n++
	}
	if len(o.rows) < manyParts {
		return &ownParts{}
	}
	parts := make([]int, 0, len(o.rows))
	for p := range o.rows {
		parts = append(parts, p)
	}
	stable.Sort(parts, func(a, b int) int {
		return cmp.Or(cmp.Compare(coupled[a], coupled[b]), cmp.Compare(a, b))
	})
	taken := make([]bool, n)
	for _, p := range parts {
		if slices.ContainsFunc(o.rows[p], func(i int) bool { return taken[i] }) {
			continue
		}
		o.chosen[p] = true
		for _, i := range o.rows[p] {
			taken[i] = true
		}
	}
	return o
}

// take tells whether part p is of its own, and notes that it was asked for.
func (o *ownParts) take(p int) bool {
	if o.rows == nil || !o.chosen[p] && !(o.read && o.rows[p] == nil) {
		return false
	}
	if !o.listed[p] {
		o.listed[p] = true
		o.taken = append(o.taken, p)
	}
	return true
}
