package decisions

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// Measurand is the quantity that further readings should make better known.
type Measurand struct {
	quantities.Key                // of a quantity, or of the name "frequency"
	State          readings.State // whose frequency
}

// Candidate is something that could be done next: a reading, or a measurement by
// another instrument.
type Candidate struct {
	Kind     CandidateKind
	State    readings.State // of a reading, but for a new capacitor
	New      [2]float64     // F, of ReadNew: from … to; one value twice for a single one
	Part     int            // of MeasurePart
	Relative float64        // relative standard uncertainty of the new capacitor, or of what is measured
}

// CandidateKind says what a candidate is.
type CandidateKind int

// Kinds of candidates.
const (
	ReadState      CandidateKind = iota // a reading of a state
	ReadNew                             // the same with a capacitor on the top that no reading has
	MeasurePart                         // a part at a capacitance meter
	MeasureWinding                      // turns, diameter and length of the winding
)

func (k CandidateKind) measures() bool { return k == MeasurePart || k == MeasureWinding }

// Bench is what there is to work with beyond the log.
type Bench struct {
	Parts    []readings.Part // further parts
	Measured []Measure       // parts of the log that can be had better known
	Buy      bool            // whether new capacitors may be bought
	// Tolerance is the relative standard uncertainty of one as bought.
	Tolerance float64
}

// Measure is a better knowledge of a part of the log.
type Measure struct {
	Part     int
	Relative float64 // standard uncertainty
}

const (
	// A capacitance meter is accurate to 1 %, and to 0.02 pF (bounds, taken as 95 %):
	// common practice for a bench meter with its leads' capacitance taken off.
	meterRelative = 0.01 / 1.96
	meterAbsolute = 0.02e-12 / 1.96
	// calliper is the relative standard uncertainty of an inductance that is worked
	// out from turns, diameter and length: half a per cent of the diameter, which
	// enters squared, half of the length, and half for formula and pitch.
	calliper = 0.012
	// mostStretches is how many stretches covered are candidates, the first read:
	// neighbours tell much the same.
	mostStretches = 8
)

// effort counts what has to be set up for a candidate.
func (c *Candidate) effort() int {
	if c.Kind.measures() {
		return 1
	}
	n := len(c.State.Parts)
	if c.State.Clip {
		n++
	}
	if c.Kind == ReadNew {
		n += 2
	}
	if c.State.Core != "" {
		n++
	}
	if !math.IsInf(c.State.Hand, 1) {
		n++
	}
	return n
}

// Candidates lists what could be done for a measurand: readings with nothing, an empty clip, each part and
// each pair of parts of known value (those of the log, then of b) or a new capacitor of
// the E6 series on the top, with no core and with each core as read or asked for,
// nobody near and a hand at each distance read or at twice the largest; each part
// measured at a meter, and the winding by calliper unless it is drawn. Hands and cores
// partly in are left out where the measurand has nothing to do with them: they would only bring
// their own unknowns.
func Candidates(r *estimation.Result, want Measurand, b Bench) []Candidate {
	parts := append(slices.Clone(r.Parts()), b.Parts...)
	tops := [][]int{nil}
	for i := range parts {
		tops = append(tops, []int{i})
	}
	paired := pairable(parts, len(r.Parts()))
	for k, i := range paired {
		for _, j := range paired[k+1:] {
			tops = append(tops, []int{i, j})
		}
	}
	var out []Candidate
	for _, c := range conditions(r, want) {
		for _, top := range tops {
			s := c.State(0)
			s.Parts = top
			out = append(out, Candidate{Kind: ReadState, State: s})
		}
		clip := c.State(0)
		clip.Clip = true
		out = append(out, Candidate{Kind: ReadState, State: clip})
		if b.Buy && math.IsInf(c.Hand, 1) && (c.Core == "" || c.To-c.From >= 1) {
			out = append(out, bought(r, c, b.Tolerance)...)
		}
	}
	return append(out, measurements(r, b)...)
}

// meter returns the relative standard uncertainty of a capacitance by a meter.
func meter(farad float64) float64 { return math.Max(meterRelative, meterAbsolute/farad) }

// bought lists readings in condition c with a capacitor of the E6 series, of a tenth to
// ten times the coil's capacitance: as bought, and measured.
func bought(r *estimation.Result, c readings.Condition, tolerance float64) (out []Candidate) {
	coil := estimation.AnchorMean
	if r.SplitDetermined() {
		coil = math.Exp(r.Solution.X[forward.AtC])
	}
	for _, farad := range series6(math.Max(1e-12, coil/10), 10*coil) {
		for _, u := range []float64{tolerance, meterRelative} {
			if u == tolerance || u < tolerance && meter(farad) <= u {
				out = append(out, Candidate{Kind: ReadNew, State: c.State(0), New: [2]float64{farad, farad}, Relative: u})
			}
		}
	}
	return out
}

// measurements lists what another instrument could tell.
func measurements(r *estimation.Result, b Bench) (out []Candidate) {
	for i, p := range r.Parts() {
		k := slices.IndexFunc(b.Measured, func(m Measure) bool { return m.Part == i })
		if r.Problem.PartAt[i] < 0 {
			continue
		}
		u := meter(r.Problem.Part(r.Solution.X, i))
		if k >= 0 {
			u = b.Measured[k].Relative
		}
		if quantities.Finite(u) && u > 0 && (!p.Known || u < p.Uncertainty/p.Capacitance) {
			out = append(out, Candidate{Kind: MeasurePart, State: readings.Bare(), Part: i, Relative: u})
		}
	}
	if r.Session.Drawn == nil {
		out = append(out, Candidate{Kind: MeasureWinding, State: readings.Bare(), Relative: calliper})
	}
	return out
}

// conditions lists those in which readings could be taken for a measurand.
func conditions(r *estimation.Result, want Measurand) []readings.Condition {
	hands := strings.HasPrefix(want.Name, "hand") || !math.IsInf(want.State.Hand, 1)
	conditions := []readings.Condition{{Hand: math.Inf(1)}}
	add := func(c readings.Condition) {
		if !slices.Contains(conditions, c) {
			conditions = append(conditions, c)
		}
	}
	stretches := map[readings.Stretch]bool{}
	for i := range r.Session.Log.Readings {
		s := &r.Session.Log.Readings[i].State
		if s.Partly() && !stretches[s.Stretch()] {
			if len(stretches) == mostStretches || s.Core != want.Core && s.Core != want.State.Core {
				continue
			}
			stretches[s.Stretch()] = true
		}
		add(readings.Condition{Core: s.Core, From: s.From, To: s.To, Hand: math.Inf(1), Primary: readings.Primary{}})
		if quantities.OfCoupling(want.Name) && s.Core == want.Core {
			add(readings.Condition{Core: s.Core, From: s.From, To: s.To, Hand: math.Inf(1), Primary: readings.Primary{Kind: readings.PrimaryShorted}})
		}
		if hands {
			add(readings.Condition{Hand: s.Hand})
		}
	}
	if s := &want.State; want.Name == "frequency" && s.Core != "" {
		add(readings.Condition{Core: s.Core, From: s.From, To: s.To, Hand: math.Inf(1), Primary: s.Primary}) // where the core shall sit
	}
	if d := r.Problem.Distances; hands && len(d) > 0 {
		add(readings.Condition{Hand: 2 * slices.Max(d)})
	}
	return conditions
}

// mostPaired is the number of parts that are tried in pairs.
const mostPaired = 20

// pairable lists the parts of known value: all where these are few, else those from own
// on, which are at hand, and of the others some from the smallest to the largest.
func pairable(parts []readings.Part, own int) []int {
	var read, more []int
	for i := range parts {
		switch {
		case !parts[i].Known:
		case i < own:
			read = append(read, i)
		default:
			more = append(more, i)
		}
	}
	if len(read)+len(more) > mostPaired {
		more = spread(parts, more, mostPaired)
		read = spread(parts, read, mostPaired-len(more))
	}
	return append(read, more...)
}

// spread returns at most n of the listed parts, from the smallest to the largest.
func spread(parts []readings.Part, list []int, n int) (some []int) {
	if len(list) <= n {
		return list
	}
	stable.Sort(list, func(a, b int) int { return cmp.Compare(parts[a].Capacitance, parts[b].Capacitance) })
	for k := range n {
		some = append(some, list[k*(len(list)-1)/max(n-1, 1)])
	}
	return some
}
