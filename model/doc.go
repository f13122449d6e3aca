// Package model is the physics of a grounded winding with a top load, a core
// inside, capacitors added at the top and a hand near, and what readings of its
// resonance frequency say of it.
//
// It believes that a long winding is a line and not a lumped circuit; that
// frequencies alone fix only the product of inductance and capacitance, so that
// a known added capacitance or a known value has to split it; that a part put
// on the top has one error in all readings that name it; and that what the
// readings leave open must be said, with what would close it, instead of a
// number. Its beliefs on coils it hasn't seen are few, broad and listed in
// problem.go; estimates that rest on them say so.
//
// It knows no files, columns or units but SI, and writes no text: warnings are
// values that travel with the result.
package model
