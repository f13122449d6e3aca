package model

import (
	"cmp"
	"iter"
	"slices"
)

// manyParts is the number of parts from which on it pays to eliminate them.
const manyParts = 24

// open tells whether a part has an unknown of its own.
func (p *Part) open() bool { return !p.Known || p.Uncertainty > 0 && p.Common < 1 }

// used lists the states of the readings used.
func (log *Log) used() iter.Seq[*State] {
	return func(yield func(*State) bool) {
		for i := range log.Readings {
			if r := &log.Readings[i]; r.Use && !yield(&r.State) {
				return
			}
		}
	}
}

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

func newOwnParts(log *Log) *ownParts {
	if len(log.Parts) < manyParts {
		return &ownParts{}
	}
	o := &ownParts{rows: map[int][]int{}, chosen: map[int]bool{}, listed: map[int]bool{}}
	coupled := map[int]int{}
	n := 0
	for s := range log.used() {
		for _, p := range s.Parts {
			if log.Parts[p].open() {
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
	slices.SortFunc(parts, func(a, b int) int {
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
