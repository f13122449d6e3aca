// Package decisions is what follows from an estimate: the frequency of a state that wasn't
// read, the setting that reaches a frequency, the reading to take next, the difference of
// two sessions, and the coil after a change of its drawing.
package decisions
