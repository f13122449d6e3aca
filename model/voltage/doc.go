// Package voltage tells where the voltage stands in a coil that rings: along the
// winding, between turns, between the beads of a core, from core to winding, each as a
// share of the top's; and at which voltages a gap in air has been seen to spark.
//
// It believes in the fundamental mode, in beads that float and conduct (an insulating
// ferrite takes less in the gap and some inside), and in voltages as peak values. It
// never calls anything safe: that a gap isn't named says nothing of it. Its sparking
// figures are those of sharp points, where least voltage jumps farthest.
package voltage
