// Package resonator finds the lowest resonance of a winding in one state, and how it moves
// with each element: as a chain of uniform lines, as coupled sections of known shape, and
// what the ends of a winding take from a core's effect. It knows no readings.
package resonator
