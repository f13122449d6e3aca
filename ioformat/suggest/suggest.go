// Package suggest finds the word that a misspelt one was meant to be.
//
// It believes that a suggestion must be shown and never acted on, and that a
// short word needs a closer likeness than a long one.
package suggest

import "strings"

// Meant asks whether the candidate nearest to word was meant; otherwise where there is none.
func Meant(word string, candidates []string, otherwise string) string {
	if near, ok := Nearest(word, candidates); ok {
		return "did you mean " + near + "?"
	}
	return otherwise
}

// Nearest returns the candidate most like word, ignoring case: one slip away
// (a letter too many, missing, wrong, or swapped with its neighbour) for words
// of up to five letters, two for longer ones. The first wins a tie.
func Nearest(word string, candidates []string) (nearest string, ok bool) {
	w := []rune(strings.ToLower(word))
	best := 2
	if len(w) > 5 {
		best = 3
	}
	if len(w) < 2 {
		return "", false
	}
	for _, c := range candidates {
		r := []rune(strings.ToLower(c))
		if len(r) < 2 || max(len(r)-len(w), len(w)-len(r)) >= best {
			continue
		}
		if d := distance(w, r); d < best && d > 0 {
			best, nearest, ok = d, c, true
		}
	}
	return nearest, ok
}

// distance is the optimal string alignment distance (Damerau's four slips,
// no part of the text edited twice).
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	last, before := make([]int, len(b)+1), make([]int, len(b)+1)
	for i := 1; i <= len(a); i++ {
		before, last, row = last, row, before
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(b)]
}
