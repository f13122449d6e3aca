// Package model is what readings of a coil's resonance frequencies say of it: a grounded
// winding with a top load, a core inside, capacitors added at the top and a hand near.
//
// It believes that a long winding is a line and not a lumped model; that
// frequencies alone fix only the product of inductance and capacitance, so that
// a known added capacitance or a known value has to split it; that a part put
// on the top has one error in all readings that name it; and that what the
// readings leave open must be said, with what would close it, instead of a
// number.
//
// Fit is the whole way in one function; the rooms that it leads through are the
// packages below, each of which imports only those before it: quantities, field,
// resonator, readings, drawing, forward, estimation, findings. Package decisions
// goes on from an estimate. None of them knows files, columns or units but SI, or writes
// text: warnings are values that travel with the result.
package model
