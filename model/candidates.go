package model

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Candidates lists states that could be read for a wish: nothing, each part and each pair
// of parts of known value (those of the log, then extra), with no core and with
// each core as read or asked for, nobody near and a hand at each distance read or at
// twice the largest. Hands are left out where the wish has nothing to do with them: they
// would only bring their own unknowns.
func (r *Result) Candidates(wish Wish, extra []Part) []Candidate {
	parts := append(slices.Clone(r.Parts()), extra...)
	tops := [][]int{nil}
	for i := range parts {
		tops = append(tops, []int{i})
	}
	paired := pairable(parts, len(r.Parts()))
	for k, i := range paired {
		for _, j := range paired[k+1:] {
			tops = append(tops, []int{i, j})
		}
	}
	hands := strings.HasPrefix(wish.Name, "hand") || !math.IsInf(wish.State.Hand, 1)
	conditions := []Condition{{Hand: math.Inf(1)}}
	add := func(c Condition) {
		if !slices.Contains(conditions, c) {
			conditions = append(conditions, c)
		}
	}
	for i := range r.session.Log.Readings {
		s := &r.session.Log.Readings[i].State
		add(Condition{s.Core, s.From, s.To, math.Inf(1)})
		if hands {
			add(Condition{Hand: s.Hand})
		}
	}
	if s := &wish.State; wish.Name == "frequency" && s.Core != "" {
		add(Condition{s.Core, s.From, s.To, math.Inf(1)}) // where the core shall sit
	}
	if d := r.problem.distances; hands && len(d) > 0 {
		add(Condition{Hand: 2 * slices.Max(d)})
	}
	var out []Candidate
	for _, c := range conditions {
		for _, top := range tops {
			s := c.state(0)
			s.Parts = top
			out = append(out, Candidate{s})
		}
	}
	return out
}

// mostPaired is the number of parts that are tried in pairs.
const mostPaired = 20

// pairable lists the parts of known value: all where these are few, else those from own
// on, which are at hand, and of the others some from the smallest to the largest.
func pairable(parts []Part, own int) []int {
	var read, more []int
	for i := range parts {
		switch {
		case !parts[i].Known:
		case i < own:
			read = append(read, i)
		default:
			more = append(more, i)
		}
	}
	if len(read)+len(more) > mostPaired {
		more = spread(parts, more, mostPaired)
		read = spread(parts, read, mostPaired-len(more))
	}
	return append(read, more...)
}

// spread returns at most n of the listed parts, from the smallest to the largest.
func spread(parts []Part, list []int, n int) (some []int) {
	if len(list) <= n {
		return list
	}
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(parts[a].Capacitance, parts[b].Capacitance) })
	for k := range n {
		some = append(some, list[k*(len(list)-1)/max(n-1, 1)])
	}
	return some
}
