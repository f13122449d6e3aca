package readings

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

// Contrasts lists the comparisons that the used readings of log allow. Readings
// in one state are averaged first, so that each pair of states counts once; a
// core counts at its full coverage or the deepest read.
func Contrasts(log Log) (out []Contrast) {
	cores := deepest(&log)
	for _, quality := range []bool{false, true} {
		states := recorded(log, quality)
		for _, core := range cores {
			var logs []float64
			for _, in := range states {
				if in.state.Stretch() != core {
					continue
				}
				air := in.state
				air.Core, air.From, air.To = "", 0, 0
				for _, out := range states {
					if ratio := in.value() / out.value(); Same(&out.state, &air) && ratio > 0 {
						logs = append(logs, math.Log(ratio))
					}
				}
			}
			if len(logs) > 0 {
				mean, deviation := stat.MeanStdDev(logs, nil)
				c := Contrast{Core: core.Core, Quality: quality, Ratio: math.Exp(mean), Uncertainty: math.NaN(), Pairs: len(logs)}
				if n := float64(len(logs)); n > 1 {
					c.Uncertainty = c.Ratio * deviation / math.Sqrt(n)
				}
				out = append(out, c)
			}
		}
	}
	return out
}

// BareRatio returns the amplitude or the quality factor with a core, where it covers most, over
// that of the bare coil, nothing added; NaN where either wasn't recorded.
func BareRatio(log Log, core string, quality bool) float64 {
	in, out := math.NaN(), math.NaN()
	for _, c := range deepest(&log) {
		if c.Core != core {
			continue
		}
		bare := Bare()
		with := bare
		with.Core, with.From, with.To = c.Core, c.From, c.To
		for _, r := range recorded(log, quality) {
			switch {
			case Same(&r.state, &with):
				in = r.value()
			case Same(&r.state, &bare):
				out = r.value()
			}
		}
	}
	return in / out
}

// deepest lists the cores of the used readings, each where it covers most.
func deepest(log *Log) (cores []Stretch) {
	for s := range log.Used() {
		if s.Core == "" {
			continue
		}
		k := slices.IndexFunc(cores, func(c Stretch) bool { return c.Core == s.Core })
		if k < 0 {
			cores = append(cores, s.Stretch())
		} else if c := &cores[k]; s.To-s.From > c.To-c.From {
			*c = s.Stretch()
		}
	}
	return cores
}

// record is what was recorded in one state.
type record struct {
	state State
	mean
}

// recorded lists the states in which an amplitude or a quality factor was
// recorded, over the used readings.
func recorded(log Log, quality bool) (states []record) {
	for i := range log.Readings {
		r := &log.Readings[i]
		v := r.Amplitude
		if quality {
			v = r.Quality
		}
		if !r.Use || !recordedValue(v) {
			continue
		}
		k := slices.IndexFunc(states, func(s record) bool { return Same(&s.state, &r.State) })
		if k < 0 {
			k = len(states)
			states = append(states, record{state: r.State})
		}
		states[k].add(v)
	}
	return states
}
