// Package benchlog reads and extends bench logs: CSV tables of the resonance
// frequencies read on a coil, one row a reading, with the state the coil was
// in.
//
// It believes that a log says everything or nothing: a log with one cell that
// cannot be understood gives no readings, but a list of all faults with file,
// line, column, what was read, what was expected and what to do. What could be
// read in two ways is refused. What was understood although it isn't written
// the usual way comes with a notice.
//
// A ± of a frequency is a standard uncertainty. The tolerance of a part is a
// bound that 95 % of such parts keep, so its standard uncertainty is the
// tolerance divided by 1.96.
package benchlog
