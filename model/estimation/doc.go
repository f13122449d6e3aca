// Package estimation finds the unknowns that explain the readings best, and works out what
// they say. Its priors on coils it hasn't seen are few, broad and listed in priors.go;
// estimates whose variance comes from them say so, and what the readings leave open has no
// number.
//
// The way through it: a Session becomes a Problem (newproblem.go), whose rows are readings
// (rows.go) and priors (priorrows.go); start.go finds where to begin, solve.go solves it,
// enlarge.go by the scatter of the readings; fit.go makes the Result, with estimate.go for
// each quantity and residual.go for each reading.
package estimation
