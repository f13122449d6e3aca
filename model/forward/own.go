package forward

import (
	"cmp"
	"slices"

	"fitcoil/model/readings"
	"fitcoil/stable"
)

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
