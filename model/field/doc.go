// Package field computes what a resonant coil is from how it is built:
// winding, ball, beads, ground and a hand near, all bodies of revolution on
// one axis, to inductance, capacitance, mode and resonance.
//
// It believes in quasi-static fields: the coil is far smaller than the wave in
// air, so that magnetic and electric energies can be found apart and are joined
// by one eigenproblem of coupled sections. Currents are sheets, wires are a
// correction, ferrite is linear and without loss, conductors are perfect.
//
// It refuses to know files, units other than SI, and statistics: how far a
// result of its models may be off is stated beside it as a relative standard
// uncertainty and argued in docs/field.md; how far a drawing is off is the
// caller's business.
package field
