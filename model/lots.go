package model

import (
	"iter"
	"math"
	"slices"
)

// lot is the unknown error that the parts of one lot have in common.
type lot struct {
	name string
	at   int
}

// addLots makes room for the lots of the parts in states: of those that two parts come
// from, or that are all there is to a part's error. Of a single part nothing tells what is
// its own from what isn't.
func (u *unknowns) addLots(parts []Part, states iter.Seq[*State]) {
	seen := make([]bool, len(parts))
	count := map[string]int{}
	for s := range states {
		for _, p := range s.Parts {
			part := &parts[p]
			if seen[p] || !part.shares() {
				continue
			}
			seen[p] = true
			count[part.Lot]++
			if (count[part.Lot] == 2 || part.Common == 1) && u.lotOf(part) < 0 {
				u.lots = append(u.lots, lot{part.Lot, u.take(1)})
			}
		}
	}
	for i := range parts {
		u.lotAt[i] = u.lotOf(&parts[i])
	}
}

// shares tells whether some of p's error is that of its lot.
func (p *Part) shares() bool { return p.Known && p.Uncertainty > 0 && p.Lot != "" && p.Common > 0 }

// lotOf returns where in x the error of p's lot stands; −1 for nowhere.
func (u *unknowns) lotOf(p *Part) int {
	if p.shares() {
		if k := slices.IndexFunc(u.lots, func(l lot) bool { return l.name == p.Lot }); k >= 0 {
			return u.lots[k].at
		}
	}
	return -1
}

// split returns the roots of the shares of part p's variance that are its own and its
// lot's, as x has them.
func (f *forward) split(p int) (own, common float64) {
	if f.lotAt[p] < 0 {
		return 1, 0
	}
	share := f.parts[p].Common
	return math.Sqrt(1 - share), math.Sqrt(share)
}

// CommonShare is the share of a tolerance's variance that parts of one lot are taken to
// have in common where nobody says it: different values of one kit are made apart, but from
// one material, by one process, and sorted by one meter. An assumption: no published figure
// was found.
const CommonShare = 0.25

// assumedCommon tells of which parts it is assumed that l is as it is; nothing where it
// was said.
func (p *problem) assumedCommon(l lot) Assumption {
	var names []string
	for i := range p.parts {
		if p.lotAt[i] == l.at && p.parts[i].Common == CommonShare {
			names = append(names, p.parts[i].Name)
		}
	}
	if names == nil {
		return Assumption{}
	}
	return assume(AssumedCommon, CommonShare, 0, names...)
}
