package findings

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// What is said of effects is of simulated sessions, 12 of each kind (TestWhatIsTold); no mistake is
// named in 1000 with none. That of scatter alone, and digits, rows and parts mistaken in sessions
// of the field model, have tests of their own (TestScatterIsNoMistake, TestMistakeIsNamed).
const (
	contradictory  = 1e-3 // p-value below which a slip is looked for; with 1e-5 and 1e-2 the same are named
	explained      = 0.02 // p-value from which an edit has explained the log; with 0.005 and 0.08 the same are
	striking       = 60.0 // what an edit brings in χ², in what is left a degree of freedom, where readings scatter: eight standard deviations, as no scatter makes them; with 30 and 120 the same are
	leastRest      = 0.2  // redundancy that is left at least, so that p means something; with 0.8 only 8 of 24 rows exchanged or parts mistaken are
	amongSeveral   = 1.5  // the same, where other edits explain the log as well; with 0.5 and 4 the same are
	amongMany      = 2.5  // the same, where others explain it nearly as well, and a slip of the pen may decide
	mostTried      = 40   // readings that are tried one by one: a fit each
	mostScreened   = 100  // iterations that show whether an edit may explain a log
	glimpse        = 12   // iterations after which χ² is far above what explains a log, where an edit doesn't
	hopeless       = 20.0 // by what factor it is: of edits that do, it is within 1.5 of its end by then
	bent           = 1.5  // factor within which a linear estimate of χ² is trusted, of more readings than that; with 1 and 4 the same are
	rescaled       = 3    // rounds in which the scatter of the readings is found: with ± twenty times too small, 46 of 50 digits misread and as many exchanges of rows are named (TestMistakeIsNamed)
	outstanding    = 1e-3 // chance of an edit that stands out so far among readings that scatter; with 1e-4 a bare reading 1 % off, reread twice, isn't named where ± are six times too small, and 4 instead of 5 in 100 sessions that just scatter name one (TestScatterIsNoMistake)
	leastScattered = 2    // redundancy that is left at least, so that it tells how they do
	// omissionPrice is what an edit has to bring in χ² more than another that leaves all
	// readings in: an omitted reading takes its own residual along. With 0 and 12 the same are.
	omissionPrice = 4.0
	// slipWorth is what it counts in χ² that a slip of the pen makes the number predicted of the
	// one read: by chance one does for a fifth of readings. With 0, 35 of 40 digits mistaken are named, with it 38.
	slipWorth = 3.0
	// calmLevel is the chance of as calm a rest of readings that scatter, from which on that is told beside a mistake:
	// of 102 sessions of 5 to 7 readings that scatter five times the stated, 8 have one named, all with it.
	calmLevel = 0.05
	// rival is by how much less the best edit has in χ², at the least, than one of other readings if it
	// is to be named alone; likely, by how much more others may have that may be right instead.
	rival, likely = 6.0, 9.0
)

// findMistake looks for the one edit that makes the readings consistent with each other and
// with what is known: a reading left out, two neighbouring ones swapped, a part
// ten times larger or smaller. Where several do and nothing tells which is right, it returns the
// readings that they change, unless a known value contradicts them: of few readings any may seem
// mistaken then. It returns nil where nothing contradicts, or no single edit mends it.
//
// Where readings scatter more than stated, no edit makes them consistent. They are then taken to scatter as
// the nearest edit leaves them, if it stands out from that.
func findMistake(r *estimation.Result, contradictions []Finding) *Mistake {
	for range rescaled { // priors, which are no worse, settle anew
		m, scatter := mistakeIn(r, contradictions)
		if m != nil || scatter <= 1 {
			return m
		}
		s := r.Session
		s.Log.Readings = slices.Clone(s.Log.Readings)
		for i := range s.Log.Readings {
			s.Log.Readings[i].Uncertainty *= scatter
		}
		var err error
		if r, err = estimation.Fit(s); err != nil {
			return nil
		}
	}
	return nil
}

// mistakeIn is findMistake with the uncertainties of r, and returns besides by how much readings scatter
// more than that, where an edit stands out from it; 1 otherwise.
func mistakeIn(r *estimation.Result, contradictions []Finding) (m *Mistake, scatter float64) {
	if !(r.Quality.PValue < contradictory) || len(r.Problem.Rows) >= manyRows {
		return nil, 1
	}
	s := r.Session
	s.Robust, s.Alike = false, 0 // what neighbours have in common may be the mistake
	e := editor{Result: r, excess: excess(r), least: math.Inf(1), nearest: math.Inf(1), counted: map[int]bool{}}
	for _, i := range e.suspectedRows() {
		e.try(leaving(s, i), omissionPrice, func(o *estimation.Result) *Mistake { return misread(o, i) }, i)
	}
	rows := r.Problem.Rows
	for k := range len(rows) - 1 {
		i, j := rows[k], rows[k+1]
		a, b := &s.Log.Readings[i], &s.Log.Readings[j]
		swapped := leaving(s)
		swapped.Log.Readings[i].Frequency, swapped.Log.Readings[j].Frequency = b.Frequency, a.Frequency
		swapped.Log.Readings[i].Uncertainty, swapped.Log.Readings[j].Uncertainty = b.Uncertainty, a.Uncertainty
		e.try(swapped, 0, func(*estimation.Result) *Mistake { return &Mistake{Kind: MistakenRows, Lines: []int{a.Line, b.Line}} }, i, j)
	}
	with := with(&s.Log)
	for _, p := range e.suspectedParts(with) {
		for _, factor := range []float64{0.1, 10} {
			part := s.Log.Parts[p]
			off := s
			off.Log.Parts = slices.Clone(s.Log.Parts)
			off.Log.Parts[p].Capacitance *= factor
			off.Log.Parts[p].Uncertainty *= factor
			e.try(off, 0, func(*estimation.Result) *Mistake {
				return &Mistake{Kind: MistakenPart, Part: part.Name, Read: part.Capacitance, Meant: part.Capacitance * factor, Lines: LinesWith(&s.Log, p)}
			}, with[p]...)
		}
	}
	e.settle()
	if e.best != nil && (e.explain == 1 || e.rest >= amongSeveral) && (e.rest >= amongMany || !e.rivalled()) {
		return e.best, 1
	}
	for _, f := range contradictions {
		if f.Kind == KnownContradicts {
			return nil, 1
		}
	}
	if len(e.edits) == 0 {
		return nil, e.scatter()
	}
	one := e.oneOf() // of few readings the others agree, whichever of some is left out
	if drift, u := driftInstead(r); one != nil && drift != 0 {
		one = &Mistake{Kind: MistakenOneOf, Lines: one.Lines, Drift: drift, DriftWithin: u, Hourly: r.Session.Log.Hours}
	}
	return one, 1
}

// scatter returns by how much readings scatter more than stated if the nearest edit is right, and it takes
// away more than chance does, over all that were tried; 1 otherwise.
func (e *editor) scatter() float64 {
	nu := e.Scatter.Redundancy - 1
	left := e.nearest / nu
	if !(nu >= leastScattered) || !(left > 1) || !(math.Sqrt((e.Quality.ChiSquare-e.nearest)/left) > fit.CoverageFactor(1-outstanding/float64(e.tried), nu)) {
		return 1
	}
	return math.Sqrt(left)
}

// editor tries edits of a log, and keeps the best.
type editor struct {
	*estimation.Result
	excess []float64 // by reading: about what χ² would lose with it
	edits  []edit    // that may explain the log
	least  float64   // χ² of the best, its price included
	rest   float64   // its redundancy
	best   *Mistake

	tried   int          // edits
	nearest float64      // the least χ² that any leaves
	explain int          // edits that explain the log, each of other readings, and leave enough to tell
	counted map[int]bool // readings of these
	perhaps []perhaps    // edits that explain it, if they leave nothing that tests them
}

// edit is one change of a log.
type edit struct {
	session estimation.Session
	price   float64
	told    func(o *estimation.Result) *Mistake
	least   float64 // χ² is no less, price included
	changed []int   // readings
}

// perhaps is an edit that explains a log.
type perhaps struct {
	*Mistake
	chi     float64
	strikes bool
}

// try keeps the edited log s, in which the readings at the indexes have changed, where it may
// explain the log. Most edits don't: a fit with loose priors of the bench shows that, since it
// can only agree better than the whole one does.
func (e *editor) try(s estimation.Session, price float64, told func(o *estimation.Result) *Mistake, changed ...int) {
	if !e.hopeful(changed) {
		return
	}
	chi, p := atBest(s, e.Problem.Anchors)
	e.tried, e.nearest = e.tried+1, math.Min(e.nearest, chi)
	if p > explained {
		e.edits = append(e.edits, edit{s, price, told, chi + price, changed})
	}
}

// settle fits the edits, the most promising first, and keeps the best that explains the log.
func (e *editor) settle() {
	stable.Sort(e.edits, func(a, b edit) int { return cmp.Compare(a.least, b.least) })
	for _, c := range e.edits {
		if !(c.least-rival < e.least) {
			e.count(c)
			continue
		}
		o, err := estimation.Fit(c.session)
		if err != nil || !(o.Quality.PValue > explained) {
			continue
		}
		left := math.Max(1, o.Quality.ChiSquare/math.Max(1, float64(o.Quality.DegreesOfFreedom)))
		chi := o.Quality.ChiSquare + c.price
		found := c.told(o)
		if o.Scatter.Redundancy > leastRest {
			e.count(c)
		}
		if found == nil {
			continue
		}
		found.OrScatter = e.mayScatter(o)
		strikes := e.Quality.ChiSquare-chi > striking*left
		if found.Kind == MistakenReading && !math.IsNaN(found.Meant) {
			chi -= slipWorth
		}
		if strikes || e.Scatter.Scale == 1 {
			e.perhaps = append(e.perhaps, perhaps{found, chi, strikes})
		}
		if strikes && o.Scatter.Redundancy > leastRest && chi < e.least {
			e.least, e.rest, e.best = chi, o.Scatter.Redundancy, found
		}
	}
}

// mayScatter tells whether the readings that an edit leaves may agree as they do in o by chance, though all
// scatter as much as they do without the edit: whichever reading is left out (Bonferroni).
func (e *editor) mayScatter(o *estimation.Result) bool {
	all, rest := e.Scatter.Redundancy, o.Scatter.Redundancy
	if !(all > 0 && rest > 0) {
		return true
	}
	squares := e.Solution.DataSquares / all // of one degree of freedom
	return (1-fit.ChiSquareSurvival(o.Solution.DataSquares/squares, rest))*float64(len(e.Problem.Rows)) > calmLevel
}

// rivalled tells whether another edit, of other readings, explains the log nearly as well as the best.
func (e *editor) rivalled() bool {
	return slices.ContainsFunc(e.perhaps, func(p perhaps) bool { return p.strikes && p.chi < e.least+rival && !e.best.shares(p.Mistake) })
}

// leaves tells whether a contradiction may be right though m explains the log: nothing tells which
// of several readings is mistaken, or it is the value of a part in the one that is and no other.
func (m *Mistake) leaves(r *estimation.Result, f Finding) bool {
	if m.Kind == MistakenOneOf {
		return true
	}
	for part := range r.Session.Log.Parts {
		if f.Kind == PartOffTolerance && r.Session.Log.Parts[part].Name == f.Name {
			return m.Kind == MistakenReading && slices.Equal(LinesWith(&r.Session.Log, part), m.Lines)
		}
	}
	return false
}

// shares tells whether two mistakes are in some of the same lines.
func (m *Mistake) shares(other *Mistake) bool {
	return slices.ContainsFunc(m.Lines, func(l int) bool { return slices.Contains(other.Lines, l) })
}

// oneOf returns the mistake that is the only likely one, though nothing is left to test it, or all
// readings that may be mistaken; nil for none.
func (e *editor) oneOf() *Mistake {
	least := perhaps{chi: math.Inf(1)}
	for _, p := range e.perhaps {
		if p.chi < least.chi {
			least = p
		}
	}
	alone, one := least.strikes, &Mistake{Kind: MistakenOneOf}
	for _, p := range e.perhaps {
		if p.chi < least.chi+likely {
			alone = alone && p.shares(least.Mistake)
			one.Lines = append(one.Lines, p.Lines...)
		}
	}
	switch {
	case len(one.Lines) == 0:
		return nil
	case alone:
		return least.Mistake
	}
	slices.Sort(one.Lines)
	one.Lines = slices.Compact(one.Lines)
	return one
}

// count adds an edit to those that explain the log, unless another one does that changes some
// of the same readings: both then say where the mistake is.
func (e *editor) count(c edit) {
	if !slices.ContainsFunc(c.changed, func(i int) bool { return e.counted[i] }) {
		e.explain++
	}
	for _, i := range c.changed {
		e.counted[i] = true
	}
}

// atBest returns χ² of the readings of s and its p-value, with the priors of lead and drift loose
// from the start: where the fit has come to when it has converged, or is hopeless or crawls, since
// a wrong edit leaves a χ² that no further step would save. It is +Inf and 0 without a fit.
func atBest(s estimation.Session, anchors int) (chi, p float64) {
	q, err := estimation.NewProblem(s)
	if err != nil || len(q.Rows) == 0 {
		return math.Inf(1), 0
	}
	for _, k := range []int{q.Drift, q.Lead} {
		if k >= 0 {
			q.Loose = append(q.Loose, k)
		}
	}
	q.Prior = q.Priors(anchors)
	settings := estimation.SolverSettings(s)
	x := q.Start(s.Log)
	for _, settings.MaxIterations = range []int{glimpse, mostScreened, mostScreened} {
		solved, _, err := q.Solve(x, false, settings)
		if err != nil {
			return math.Inf(1), 0
		}
		scatter := solved.Scatter()
		chi, p, x = scatter.ChiSquare, scatter.PValue, solved.X
		if chi > hopeless*fit.LargestChiSquare(explained, scatter.DegreesOfFreedom) || !q.Reweigh(x) && solved.Status.Converged() {
			break
		}
	}
	return chi, p
}

// hopeful tells whether an edit of the readings at the indexes may explain the log. Of few readings each
// may have bent the fit so that its residual tells little; of many none can.
func (e *editor) hopeful(changed []int) bool {
	if len(e.Problem.Rows) <= mostTried {
		return true
	}
	left := e.Quality.ChiSquare
	for _, i := range changed {
		left -= e.excess[i]
	}
	return left < bent*fit.LargestChiSquare(explained, e.Quality.DegreesOfFreedom)
}

// suspectedRows returns the readings that are tried one by one: all, or those of which χ²
// has most.
func (e *editor) suspectedRows() []int {
	rows := slices.Clone(e.Problem.Rows)
	if len(rows) > mostTried {
		stable.Sort(rows, func(a, b int) int { return cmp.Compare(e.excess[b], e.excess[a]) })
		rows = rows[:mostTried]
	}
	return rows
}

// suspectedParts returns the parts that are tried one by one: all of known value, or those with the
// readings of which χ² has most.
func (e *editor) suspectedParts(with [][]int) (parts []int) {
	excess := make([]float64, len(with))
	for p := range with {
		if e.Problem.Parts[p].Known && e.Problem.PartAt[p] >= 0 {
			parts = append(parts, p)
			for _, i := range with[p] {
				excess[p] += e.excess[i]
			}
		}
	}
	if len(parts) > mostSuspect {
		stable.Sort(parts, func(a, b int) int { return cmp.Compare(excess[b], excess[a]) })
		parts = parts[:mostSuspect]
	}
	return parts
}

// misread tells of reading i, which r was fitted without, what it may have been.
func misread(r *estimation.Result, i int) *Mistake {
	o := &r.Session.Log.Readings[i]
	predicted := r.Frequency(o.State, nil)
	if !predicted.Determined {
		return nil // left out, it takes its part or core along: that explains nothing
	}
	u, then := math.Hypot(predicted.Uncertainty, o.Uncertainty), predicted.Value*r.DriftAt(i)
	if !(math.Abs(o.Frequency-then) > leastSuspect*u) {
		return nil
	}
	return &Mistake{Kind: MistakenReading, Lines: []int{o.Line}, Read: o.Frequency, Predict: then, Within: predicted.Uncertainty,
		Meant: misspelt(o.Frequency, then, 3*u, digits(&r.Session.Log))}
}

// driftInstead returns the drift, with its standard uncertainty, that makes the readings of r
// consistent as well as an edit does, were it not for its prior; 0 for none. Without the prior's row,
// of residual x and leverage h, χ² is less by x²/(1 − h).
func driftInstead(r *estimation.Result) (drift, u float64) {
	p := r.Problem
	if p.Drift < 0 || p.Knows(quantities.Drift) || r.Scatter.Scale > 1 || slices.Contains(p.Loose, p.Drift) {
		return 0, 0
	}
	v, u := p.ByReadings(estimation.Enlarged{Result: r.Solution}, p.Drift)
	q := r.Quality
	if !(q.ChiSquare-v*v/(1+u*u) <= fit.LargestChiSquare(explained, max(1, q.DegreesOfFreedom-1))) {
		return 0, 0
	}
	per := p.DriftQuantities()[0].Value(p.Model, estimation.Unit(p.N, p.Drift), make([]float64, p.N))
	return per * v, per * u
}
