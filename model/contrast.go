package model

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Contrast compares an amplitude or a quality factor with a core in and out,
// from pairs of readings that are alike in all else.
type Contrast struct {
	Core        string
	Quality     bool    // of the quality factor; else of the pickup amplitude
	Ratio       float64 // with the core over without: geometric mean of the pairs
	Uncertainty float64 // standard, from the scatter of the pairs; NaN for one pair
	Pairs       int
}

// contrasts lists the comparisons that the used readings of log allow. Readings
// in one state are averaged first, so that each pair of states counts once; a
// core counts at its full coverage or the deepest read.
func contrasts(log Log) (out []Contrast) {
	u := newUnknowns(log, false, nil)
	for _, core := range u.cores {
		for _, quality := range []bool{false, true} {
			var logs []float64
			for i := range log.Readings {
				in := &log.Readings[i]
				if in.Core != core.name || in.From != core.from || in.To != core.to || !firstOf(log, i) {
					continue
				}
				out := in.State
				out.Core, out.From, out.To = "", 0, 0
				with, without := meanOf(log, &in.State, quality), meanOf(log, &out, quality)
				if ratio := with / without; ratio > 0 && finite(ratio) {
					logs = append(logs, math.Log(ratio))
				}
			}
			if len(logs) == 0 {
				continue
			}
			mean, deviation := stat.MeanStdDev(logs, nil)
			c := Contrast{Core: core.name, Quality: quality, Ratio: math.Exp(mean), Uncertainty: math.NaN(), Pairs: len(logs)}
			if n := float64(len(logs)); n > 1 {
				c.Uncertainty = c.Ratio * deviation / math.Sqrt(n)
			}
			out = append(out, c)
		}
	}
	return out
}

// firstOf tells whether reading i is the first of its state.
func firstOf(log Log, i int) bool {
	return !slices.ContainsFunc(log.Readings[:i], func(r Reading) bool { return r.Use && same(&r.State, &log.Readings[i].State) })
}

// meanOf averages what was recorded in state s over the used readings; NaN when
// nothing was.
func meanOf(log Log, s *State, quality bool) float64 {
	var sum, n float64
	for i := range log.Readings {
		r := &log.Readings[i]
		v := r.Amplitude
		if quality {
			v = r.Quality
		}
		if r.Use && finite(v) && same(&r.State, s) {
			sum += v
			n++
		}
	}
	return sum / n
}
