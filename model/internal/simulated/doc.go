// Package simulated makes sessions of an invented coil, whose truth is known, for the tests
// of the packages beside it.
package simulated
