// Package drawing carries what the field model says of a drawn coil into estimates under
// the names of a fit, with the uncertainty of the field model and of the dimensions.
package drawing
