// Package loss tells where the energy of a ringing coil goes: what its wire's resistance is
// at radio frequency, how readings of the quality factor split by the way in which losses
// grow, and how far a ferrite's permeability moves over a range of frequencies.
//
// It believes that losses add up, 1/Q = Σ 1/Q_i, each with a known growth. It refuses a
// split that the readings don't determine: one frequency tells no kinds apart. What a core
// adds to 1/Q it calls "core, and winding with core", since the field of a core raises the
// loss of the copper too.
package loss
