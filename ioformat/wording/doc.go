// Package wording puts what readings and results are about into a few words,
// the same in a table, a figure and a page.
//
// It words; it neither computes nor decides.
package wording
