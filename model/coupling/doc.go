// Package coupling turns resonance frequencies into the coupling of a primary to a
// resonant coil, and back.
//
// It believes in two windings without resistance, k² = M²/(L1 L2): an open primary
// leaves the coil as it is, a shorted one takes L2 to L2(1 − k²), a capacitor across it
// splits the resonance in two. A coupling found from resonances is that at resonance; a
// long coil's windings, with the same current in all turns, have another (see
// model/field).
package coupling
