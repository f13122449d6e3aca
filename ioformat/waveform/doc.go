// Package waveform reads the captures that oscilloscopes save as text: a few
// lines of settings of whatever kind, then a table with a voltage in each row,
// mostly beside its time.
//
// It believes that a capture is sampled at equal intervals, and that a row
// which isn't where it should be means a lost row or a damaged file: it reads
// the interval from the times, the preamble or the caller, and holds each
// against the others. Times written in few digits are read as what they are,
// rounded; how far the interval is open for that reason goes with it.
//
// It finds by itself where the table begins, which delimiter and decimal mark
// it has, and which columns hold times and voltages. It refuses to choose
// between several voltages, to guess a unit of time that could be another, to
// read on over a missing row, and to take an overflow mark (9.9E+37, ****) for
// a voltage. Voltages without a unit are taken as they are: frequency and
// damping don't depend on it.
package waveform
