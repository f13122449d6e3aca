package findings

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// slow is from which factor on the uncertainty of a mean is told to be larger than
// that of readings which vary by themselves: as if only four in nine of them counted. A plain
// choice, of a remark alone: the uncertainty of the mean has any such factor in it.
const slow = 1.5

// repeated tells of single readings far from the mean of their state, and of
// states that drift.
func repeated(r *estimation.Result) (out []Finding) {
	for i := range r.Readings {
		o := &r.Readings[i]
		m := o.Repeats
		if m == nil || m.Count < readings.FewestBlocks || !(m.Deviation > 0) {
			continue
		}
		most := fit.CoverageFactor(1-0.01/float64(m.Count), math.Inf(1)) // 1 % over all of them, as suspicious does
		for _, e := range []readings.Extreme{m.Lowest, m.Highest} {
			if away := (e.Frequency - o.Frequency) / m.Deviation; math.Abs(away) > most && math.Abs(e.Frequency-o.Frequency) > leastSuspect*o.Uncertainty {
				out = append(out, Finding{Kind: ReadingApart, Line: e.Line, Value: away, Other: float64(m.Count)})
			}
		}
		switch {
		case m.Wanders:
			out = append(out, Finding{Kind: ReadingsWander, Line: o.Line, Value: m.Slow})
		case m.Slow > slow:
			out = append(out, Finding{Kind: ReadingsSlow, Line: o.Line, Value: m.Slow})
		}
	}
	return out
}
