package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Earlier is what an earlier session read of the coil: frequencies of states with their
// covariance, from which its drift and what its readings had in common are taken out. Priors,
// tolerances and a drawing are no part of it, since the later fit states them itself: nothing
// counts twice.
type Earlier struct {
	Log      string             // name of the log
	SHA256   string             // of its bytes
	Scale    float64            // by which its scatter has enlarged the uncertainties
	Checked  float64            // redundancy that this comes from
	Squares  float64            // by which its readings have raised χ²
	Freedom  float64            // and the degrees of freedom
	States   []readings.State   // Parts are indexes of Parts
	Hertz    []float64          // frequency of each state
	Relative []float64          // its own relative standard uncertainty
	Shared   [][]float64        // errors in common: the relative standard uncertainty of each state by one
	Parts    []readings.Part    // as they were stated
	Known    []quantities.Known // values that the session was told
	Bench    int                // where the coil stood: 0 where it stands now, else the number of another bench, with its own stray capacitance on the top; those of one number were on the same one

	root []float64 // see fit.Whiten
}

// whiten returns the triangle that makes standardised residuals of ln f.
func (e *Earlier) whiten() []float64 {
	n := len(e.States)
	v := make([]float64, n*n)
	for i := range n {
		v[i*n+i] = e.Relative[i] * e.Relative[i]
		for k := range n {
			for _, s := range e.Shared {
				v[i*n+k] += s[i] * s[k]
			}
		}
	}
	w, ok := fit.Whiten(v, n)
	if !ok { // but for rounding there always is one
		w = make([]float64, n*n)
		for i := range n {
			w[i*n+i] = 1 / math.Sqrt(v[i*n+i])
		}
	}
	return w
}

// named lists cores and parts that e read.
func (e *Earlier) named() (names []string) {
	for i := range e.States {
		if core := e.States[i].Core; core != "" && !slices.Contains(names, core) {
			names = append(names, core)
		}
	}
	return append(names, readings.Names(e.Parts)...)
}
