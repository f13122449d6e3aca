// Package known reads values known from elsewhere, as the command line gives
// them: "inductance=770uH±2%", "core_gain:rod=1.6±0.1", "spike=2.2pF±5%".
//
// It believes that a known value without an uncertainty is no knowledge a fit
// can weigh, and refuses it. A ± on a quantity is its standard uncertainty; on
// a part it is a tolerance, a bound taken as 95 %.
package known
