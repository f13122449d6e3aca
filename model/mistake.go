package model

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"fitcoil/fit"
)

// Mistake is one edit of a log that would make readings that contradict each other
// consistent: what probably went wrong when it was written.
type Mistake struct {
	Kind    MistakeKind
	Lines   []int   // of the readings it would change
	Part    string  // of MistakenPart
	Read    float64 // as it stands: Hz, or F for a part
	Meant   float64 // as it would fit: a number that a slip of the pen makes of Read; NaN if none does
	Predict float64 // Hz, what all others predict for a single reading
}

// MistakeKind says what may have gone wrong.
type MistakeKind int

// Mistakes.
const (
	MistakenReading MistakeKind = iota // one reading: misread, or in another state than written
	MistakenRows                       // two neighbouring rows have each other's frequencies
	MistakenPart                       // a part's value is off by a power of ten
)

const (
	contradictory = 1e-3 // p-value below which a slip is looked for
	explained     = 0.02 // p-value from which an edit has explained the log
	striking      = 60.0 // what an edit brings in χ², in what is left a degree of freedom: eight standard deviations, as no scatter makes them
	leastRest     = 0.2  // redundancy that is left at least, so that p means something
	amongSeveral  = 1.5  // the same, where other edits explain the log as well
	mostTried     = 40   // readings that are tried one by one
	bent          = 1.5  // factor within which a linear estimate of χ² is trusted, of more readings than that
	// omissionPrice is what an edit has to bring in χ² more than another that leaves all
	// readings in: an omitted reading takes its own residual along.
	omissionPrice = 4.0
)

// findMistake looks for the one edit that makes the readings consistent with each other and
// with what is known: a reading left out, two neighbouring ones swapped, a part
// ten times larger or smaller. It returns nil where nothing contradicts, or no single
// edit mends it.
func (r *Result) findMistake() *Mistake {
	if !(r.Quality.PValue < contradictory) || len(r.problem.rows) >= manyRows {
		return nil
	}
	s := r.session
	s.Robust, s.alike = false, 0 // what neighbours have in common may be the mistake
	e := editor{Result: r, excess: r.excess(), least: math.Inf(1)}
	for _, i := range e.suspectedRows() {
		e.try(s.leaving(i), omissionPrice, func(o *Result) *Mistake { return o.misread(i) }, i)
	}
	rows := r.problem.rows
	for k := range len(rows) - 1 {
		i, j := rows[k], rows[k+1]
		a, b := &s.Log.Readings[i], &s.Log.Readings[j]
		swapped := s.leaving()
		swapped.Log.Readings[i].Frequency, swapped.Log.Readings[j].Frequency = b.Frequency, a.Frequency
		swapped.Log.Readings[i].Uncertainty, swapped.Log.Readings[j].Uncertainty = b.Uncertainty, a.Uncertainty
		e.try(swapped, 0, func(*Result) *Mistake { return &Mistake{Kind: MistakenRows, Lines: []int{a.Line, b.Line}} }, i, j)
	}
	with := s.Log.with()
	for _, p := range e.suspectedParts(with) {
		for _, factor := range []float64{0.1, 10} {
			part := s.Log.Parts[p]
			off := s
			off.Log.Parts = slices.Clone(s.Log.Parts)
			off.Log.Parts[p].Capacitance *= factor
			off.Log.Parts[p].Uncertainty *= factor
			e.try(off, 0, func(*Result) *Mistake {
				return &Mistake{Kind: MistakenPart, Part: part.Name, Read: part.Capacitance, Meant: part.Capacitance * factor, Lines: s.Log.linesWith(p)}
			}, with[p]...)
		}
	}
	if e.explain > 1 && e.rest < amongSeveral {
		return nil // of few readings, whichever is left out, the others agree
	}
	return e.best
}

// editor tries edits of a log, and keeps the best.
type editor struct {
	*Result
	excess []float64 // by reading: about what χ² would lose with it
	least  float64   // χ² of the best, its price included
	rest   float64   // its redundancy
	best   *Mistake

	explain int // edits that explain the log
}

// try fits the edited log s, in which the readings at the indexes have changed, and keeps the
// edit if it explains the log, and better than those before. Most edits don't: a fit with loose priors of
// the bench shows that, since it can only agree better than the whole one does.
func (e *editor) try(s Session, price float64, edit func(o *Result) *Mistake, changed ...int) {
	if !e.hopeful(changed) {
		return
	}
	chi, p := s.atBest(e.problem.anchors)
	if !(p > explained) {
		return
	}
	if !(chi+price < e.least) {
		e.explain++
		return
	}
	o, err := fitOnly(s)
	if err != nil || !(o.Quality.PValue > explained) || !(o.scatter.Redundancy > leastRest) {
		return
	}
	e.explain++
	left := math.Max(1, o.Quality.ChiSquare/math.Max(1, float64(o.Quality.DegreesOfFreedom)))
	if chi := o.Quality.ChiSquare + price; chi < e.least && e.Quality.ChiSquare-chi > striking*left {
		if found := edit(o); found != nil {
			e.least, e.rest, e.best = chi, o.scatter.Redundancy, found
		}
	}
}

// atBest returns χ² of the readings of s and its p-value, with the priors of lead and drift loose
// from the start; +Inf and 1 where it can't tell.
func (s Session) atBest(anchors int) (chi, p float64) {
	q, err := newProblem(s)
	if err != nil || len(q.rows) == 0 {
		return math.Inf(1), 0
	}
	for _, k := range []int{q.drift, q.lead} {
		if k >= 0 {
			q.loose = append(q.loose, k)
		}
	}
	q.Prior = q.priors(anchors)
	settings := solverSettings(s)
	x := q.start(s.Log)
	for range 3 {
		solved, _, err := q.solve(x, false, settings)
		if err != nil || !solved.Status.Converged() {
			return 0, 1
		}
		scatter := solved.Scatter()
		if x = solved.X; !q.reweigh(x) {
			return scatter.ChiSquare, scatter.PValue
		}
	}
	return 0, 1
}

// excess estimates by how much χ² would fall without each reading: the squares of its residual
// and of what it moved its parts by, or what a linear fit would lose with it, if that is more.
func (r *Result) excess() []float64 {
	p := r.problem
	out := make([]float64, len(r.Readings))
	for _, i := range p.rows {
		o := &r.Readings[i]
		d := o.Residual / p.uncertainty(r.fit.X, &o.Reading)
		sum := d * d
		for _, part := range o.Parts {
			if k := p.partAt[part]; k >= 0 && p.parts[part].Known {
				sum += r.fit.X[k] * r.fit.X[k]
			}
		}
		linear := o.Standardised * r.scatter.Scale
		if linear *= linear; linear > sum {
			sum = linear
		}
		out[i] = sum
	}
	return out
}

// hopeful tells whether an edit of the readings at the indexes may explain the log. Of few readings each
// may have bent the fit so that its residual tells little; of many none can.
func (e *editor) hopeful(changed []int) bool {
	if len(e.problem.rows) <= mostTried {
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
	rows := slices.Clone(e.problem.rows)
	if len(rows) > mostTried {
		slices.SortStableFunc(rows, func(a, b int) int { return cmp.Compare(e.excess[b], e.excess[a]) })
		rows = rows[:mostTried]
	}
	return rows
}

// suspectedParts returns the parts that are tried one by one: all of known value, or those with the
// readings of which χ² has most.
func (e *editor) suspectedParts(with [][]int) (parts []int) {
	excess := make([]float64, len(with))
	for p := range with {
		if e.problem.parts[p].Known && e.problem.partAt[p] >= 0 {
			parts = append(parts, p)
			for _, i := range with[p] {
				excess[p] += e.excess[i]
			}
		}
	}
	if len(parts) > mostSuspect {
		slices.SortStableFunc(parts, func(a, b int) int { return cmp.Compare(excess[b], excess[a]) })
		parts = parts[:mostSuspect]
	}
	return parts
}

// with returns the indexes of the readings with each part.
func (l *Log) with() [][]int {
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

// leaving returns s with its own copy of the readings, without those at the indexes.
func (s Session) leaving(out ...int) Session {
	s.Log.Readings = slices.Clone(s.Log.Readings)
	for _, i := range out {
		s.Log.Readings[i].Use = false
	}
	return s
}

// linesWith returns the lines of the readings with part p.
func (l *Log) linesWith(p int) (lines []int) {
	for i := range l.Readings {
		if o := &l.Readings[i]; o.Use && slices.Contains(o.Parts, p) {
			lines = append(lines, o.Line)
		}
	}
	return lines
}

// misread tells of reading i, which r was fitted without, what it may have been.
func (r *Result) misread(i int) *Mistake {
	o := &r.session.Log.Readings[i]
	predicted := r.Frequency(o.State, nil)
	if !predicted.Determined {
		return nil // left out, it takes its part or core along: that explains nothing
	}
	u := math.Hypot(predicted.Uncertainty, o.Uncertainty)
	if !(math.Abs(o.Frequency-predicted.Value) > leastSuspect*u) {
		return nil
	}
	return &Mistake{Kind: MistakenReading, Lines: []int{o.Line}, Read: o.Frequency, Predict: predicted.Value,
		Meant: misspelt(o.Frequency, predicted.Value, 3*u, r.session.Log.digits())}
}

// digits returns the number of decimal digits with which the readings are written,
// zeros at the end of single ones included.
func (l *Log) digits() (most int) {
	for i := range l.Readings {
		digits, _ := decimals(l.Readings[i].Frequency)
		most = max(most, len(digits))
	}
	return min(most, 9)
}

// decimals returns the decimal digits of f, without zeros at the end, and the power of
// ten of the first.
func decimals(f float64) (digits []byte, exponent int) {
	s := strconv.FormatFloat(f, 'e', -1, 64)
	i := slices.Index([]byte(s), 'e')
	exponent, _ = strconv.Atoi(s[i+1:])
	for _, c := range []byte(s[:i]) {
		if c != '.' {
			digits = append(digits, c)
		}
	}
	return digits, exponent
}

// misspelt returns the number that a slip of the pen makes of read, among those within
// reach of what was expected: two neighbouring digits exchanged, one digit wrong, a
// digit left out or twice, or the point slipped. It returns NaN if there is none, or
// several.
func misspelt(read, expected, reach float64, n int) float64 {
	digits, exponent := decimals(read)
	for len(digits) < n {
		digits = append(digits, '0')
	}
	value := func(d []byte, exponent int) float64 {
		v, err := strconv.ParseFloat(string(d[:1])+"."+string(d[1:])+"e"+strconv.Itoa(exponent), 64)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	exchanged, wrong, other := map[float64]bool{}, map[float64]bool{}, map[float64]bool{}
	add := func(to map[float64]bool, d []byte, exponent int) {
		if v := value(d, exponent); math.Abs(v-expected) <= reach && v != read {
			to[v] = true
		}
	}
	for i := range digits {
		if i > 0 {
			d := slices.Clone(digits)
			d[i-1], d[i] = d[i], d[i-1]
			add(exchanged, d, exponent)
		}
		for c := byte('0'); c <= '9'; c++ {
			d := slices.Clone(digits)
			d[i] = c
			add(wrong, d, exponent)
			add(other, slices.Insert(slices.Clone(digits), i, c), exponent)
		}
		if len(digits) > 1 {
			add(other, slices.Delete(slices.Clone(digits), i, i+1), exponent)
		}
	}
	add(other, digits, exponent+1)
	add(other, digits, exponent-1)
	for _, found := range []map[float64]bool{exchanged, wrong, other} { // the likeliest first
		if len(found) == 1 {
			for v := range found {
				return v
			}
		}
		if len(found) > 1 {
			break
		}
	}
	return math.NaN()
}
