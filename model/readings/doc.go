// Package readings is what was read at the bench, in SI units: the log with its parts and
// the states that the coil was in, the pooling of repeated readings into means, and what
// readings say without any model of the coil. A reading is believed as it stands; what
// repeats in one state is averaged by its scatter, and errors that readings have in common
// don't average out.
package readings
