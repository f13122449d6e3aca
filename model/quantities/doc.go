// Package quantities is the vocabulary of a fit: the names of all that it reports, the key
// that says which of them is meant, what is known of one beforehand and what an estimate of
// one holds. It computes nothing but intervals.
package quantities
