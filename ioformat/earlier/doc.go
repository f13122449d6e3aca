// Package earlier reads back what the JSON of a fit says for later sessions: the field carried,
// with the frequencies that were read, their covariance, and the parts in them.
//
// It trusts no number of the file: what a fit can't have written is refused in one line.
package earlier
