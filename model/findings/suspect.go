package findings

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// SuspectLevel is the share of sessions without a slip in which chance may
// flag a reading.
const SuspectLevel = 0.01

// leastSuspect is how many of its own stated uncertainties a reading is off before
// it is suspect, however well the others agree: one unit of a last digit is √12
// standard uncertainties of it (JCGM 100:2008, 4.3.7), and no mistake.
const leastSuspect = 3.5

// uncheckedFrom is the leverage h from which nothing checks a reading: an error of e
// standard uncertainties makes a studentised residual of √(1 − h)·e, one of ten no
// more than one.
const uncheckedFrom = 0.99

// manyRows is the number of readings from which on a fit for each of some of them would
// take too long.
const manyRows = 2000

// mostSuspects is the number of readings that are compared with what all others
// predict, a fit each, which is what it bounds: with 2 the same is told (TestWhatIsTold).
const mostSuspects = 5

// DecisiveLevel is the share of sessions without a slip in which chance may let a
// reading stand out that moves a result.
const DecisiveLevel = 0.03

// leastDecisive is the studentised residual that a reading has at least before it is
// asked what it moves, a fit each: with 1.5 and 3 the same is told of simulated sessions
// (TestWhatIsTold).
const leastDecisive = 2

// FlagSuspects flags the readings that the others contradict. Those with the largest
// studentised residuals are left out in turn, the rest is fitted again, and the
// reading compared with what that fit predicts:
//
//	t = (read − predicted)/√(u²(read) + u²(predicted)),
//
// with uncertainties enlarged as the scatter of the others asks. Against
// Student's distribution with the degrees of freedom of that scatter alone,
// however the uncertainties are stated, for few readings agree well by chance;
// at suspectLevel over all readings (Bonferroni; R. D. Cook and S. Weisberg,
// Residuals and Influence in Regression, 1982, § 2.2.2).
//
// A reading that stands out among others that scatter as stated, or less clearly, and
// that moves a quantity by more than its uncertainty, is decisive. One of great leverage moves much whatever it says: that
// alone is no reason to doubt it.
//
// A prior that contradicts the readings is left open for that: its
// contradiction is no reading's.
func FlagSuspects(r *estimation.Result, contradicted []Finding) {
	n := float64(len(r.Problem.Rows))
	if len(r.Problem.Rows) >= manyRows {
		suspectAmongMany(r)
		return
	}
	base := without(r.Session, contradicted)
	for _, i := range largestResiduals(r) {
		s := base
		s.Log.Readings = slices.Clone(s.Log.Readings)
		s.Log.Readings[i].Use = false
		others, err := estimation.Fit(s)
		if err != nil {
			continue
		}
		o := &r.Readings[i]
		t, degrees := others.Readings[i].Standardised, others.Scatter.Redundancy
		switch {
		case math.Abs(t) > fit.CoverageFactor(1-SuspectLevel/n, degrees) && farOff(r, o):
			o.Flagged, o.Deleted = true, t
			o.Without = &estimation.Without{
				Inductance:  *others.Find(quantities.Key{Name: quantities.Inductance}),
				Effective:   *others.Find(quantities.Key{Name: quantities.EffectiveInductance}),
				Capacitance: *others.Find(quantities.Key{Name: quantities.EffectiveCapacitance}),
			}
		case math.Abs(t) > fit.CoverageFactor(1-DecisiveLevel/n, statedDegrees(others, degrees)) && len(contradicted) == 0:
			o.Moves = moved(r, others)
		}
	}
}

// farOff tells whether a reading is off by more than its last digit may be.
func farOff(r *estimation.Result, o *estimation.ReadingResult) bool {
	return math.Abs(o.Residual) > leastSuspect*r.Problem.Uncertainty(r.Solution.X, &o.Reading)
}

// largestResiduals returns the readings that may be suspect or decisive, the largest
// studentised residual first.
func largestResiduals(r *estimation.Result) (list []int) {
	for _, i := range r.Problem.Rows {
		o := &r.Readings[i]
		if size := math.Abs(o.Standardised); size > leastDecisive || size > 1 && farOff(r, o) {
			list = append(list, i)
		}
	}
	stable.Sort(list, func(a, b int) int {
		return cmp.Compare(math.Abs(r.Readings[b].Standardised), math.Abs(r.Readings[a].Standardised))
	})
	return list[:min(len(list), mostSuspects)]
}

// fewest is the redundancy from which readings that agree as stated show that their
// uncertainties are: with 1 and 6 the same is told of simulated sessions (TestWhatIsTold).
const fewest = 3

// statedDegrees returns the degrees of freedom of uncertainties that are as stated:
// no end of them, where enough readings agree; else those given.
func statedDegrees(r *estimation.Result, degrees float64) float64 {
	if r.Scatter.Scale <= 1 && r.Scatter.Redundancy >= fewest {
		return math.Inf(1)
	}
	return degrees
}

// moved returns the quantity that others, a fit without one reading, has moved most, in
// its standard uncertainties; nil if none by more than one.
func moved(r *estimation.Result, others *estimation.Result) (most *estimation.Moved) {
	theirs := map[quantities.Key]*quantities.Estimate{}
	for e := range others.All() {
		theirs[e.Key] = e
	}
	for e := range r.All() {
		o := theirs[e.Key]
		if o == nil || !e.Determined || !o.Determined {
			continue
		}
		if by := math.Abs(o.Value-e.Value) / e.Uncertainty; by > 1 && (most == nil || by > most.By) {
			most = &estimation.Moved{Estimate: e, By: by}
		}
	}
	return most
}

// suspectAmongMany is suspect where a fit for each reading would take too long: of so
// many, none changes the fit, and the studentised residual is the deleted one.
func suspectAmongMany(r *estimation.Result) {
	level, nu := 1-SuspectLevel/float64(len(r.Problem.Rows)), r.Scatter.Redundancy
	most := fit.CoverageFactor(level, nu)
	for _, i := range r.Problem.Rows {
		o := &r.Readings[i]
		if math.Abs(o.Standardised) > most && farOff(r, o) {
			o.Flagged, o.Deleted = true, o.Standardised
		}
	}
}

// without returns s with the known values that findings call contradicted left open.
func without(s estimation.Session, contradicted []Finding) estimation.Session {
	for _, f := range contradicted {
		if f.Kind == KnownContradicts {
			s.Open = append(slices.Clip(s.Open), f.Name)
		}
	}
	return s
}

// unchecked returns the lines of readings whose errors no other reading would show.
func unchecked(r *estimation.Result) (lines []int) {
	if len(r.Problem.Rows) >= manyRows || r.Quality.DegreesOfFreedom == 0 {
		return nil
	}
	for _, i := range r.Problem.Rows {
		if o := &r.Readings[i]; o.Leverage > uncheckedFrom {
			lines = append(lines, o.Line)
		}
	}
	return lines
}

// excess estimates by how much χ² would fall without each reading: the squares of its residual
// and of what it moved its parts by, or what a linear fit would lose with it, if that is more.
func excess(r *estimation.Result) []float64 {
	p := r.Problem
	out := make([]float64, len(r.Readings))
	for _, i := range p.Rows {
		o := &r.Readings[i]
		d := o.Residual / p.Uncertainty(r.Solution.X, &o.Reading)
		sum := d * d
		for _, part := range o.Parts {
			if k := p.PartAt[part]; k >= 0 && p.Parts[part].Known {
				sum += r.Solution.X[k] * r.Solution.X[k]
			}
		}
		linear := o.Standardised * r.Scatter.Scale
		if linear *= linear; linear > sum {
			sum = linear
		}
		out[i] = sum
	}
	return out
}

// with returns the indexes of the readings with each part.
func with(l *readings.Log) [][]int {
	out := make([][]int, len(l.Parts))
	for i := range l.Readings {
		o := &l.Readings[i]
		for _, p := range o.Parts {
			if at := out[p]; o.Use && (len(at) == 0 || at[len(at)-1] != i) {
				out[p] = append(at, i)
			}
		}
	}
	return out
}

// LinesWith returns the lines of the readings with part p.
func LinesWith(l *readings.Log, p int) (lines []int) {
	for i := range l.Readings {
		if o := &l.Readings[i]; o.Use && slices.Contains(o.Parts, p) {
			lines = append(lines, o.Line)
		}
	}
	return lines
}

// leaving returns s with its own copy of the readings, without those at the indexes.
func leaving(s estimation.Session, out ...int) estimation.Session {
	s.Log.Readings = slices.Clone(s.Log.Readings)
	for _, i := range out {
		s.Log.Readings[i].Use = false
	}
	return s
}

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
