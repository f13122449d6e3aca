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
// it has, which columns hold times and voltages, and what the settings say of
// units, interval, number of samples and scale, wherever they stand. All
// voltages are read, and all segments. Names that instruments give to other
// things as well (the time between two cursors) are no interval. It refuses
// what can be read in two ways, and names both; a file that contradicts itself
// or the caller; a spectrum; a row that is missing; and an overflow mark
// (9.9E+37, ****) for a voltage. Voltages without a unit are taken as they are:
// frequency and damping don't depend on it.
//
// A table of frequencies and amplitudes is a sweep.
package waveform
