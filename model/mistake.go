package model

import (
	"math"
	"slices"
	"strconv"
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

// Slips.
const (
	MistakenReading MistakeKind = iota // one reading: misread, or in another state than written
	MistakenRows                       // two neighbouring rows have each other's frequencies
	MistakenPart                       // a part's value is off by a power of ten
)

const (
	contradictory = 1e-3 // p-value below which a slip is looked for
	explained     = 0.01 // p-value from which an edit has explained the log
	leastRest     = 1.5  // redundancy that is left at least, so that p means something
	mostTried     = 40   // readings that are tried one by one
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
	s.Robust = false
	least := math.Inf(1)
	var best *Mistake
	try := func(s Session, price float64, edit func(o *Result) *Mistake) {
		o, err := fitOnly(s)
		if err != nil || !(o.Quality.PValue > explained) || !(o.scatter.Redundancy > leastRest) {
			return
		}
		if chi := o.Quality.ChiSquare + price; chi < least {
			if found := edit(o); found != nil {
				least, best = chi, found
			}
		}
	}
	rows := r.suspectedRows()
	for _, i := range rows {
		try(s.leaving(i), omissionPrice, func(o *Result) *Mistake { return o.misread(i) })
	}
	for k, i := range r.problem.rows[:max(0, len(r.problem.rows)-1)] {
		j := r.problem.rows[k+1]
		if !slices.Contains(rows, i) && !slices.Contains(rows, j) {
			continue
		}
		a, b := &s.Log.Readings[i], &s.Log.Readings[j]
		swapped := s.leaving()
		swapped.Log.Readings[i].Frequency, swapped.Log.Readings[j].Frequency = b.Frequency, a.Frequency
		swapped.Log.Readings[i].Uncertainty, swapped.Log.Readings[j].Uncertainty = b.Uncertainty, a.Uncertainty
		try(swapped, 0, func(*Result) *Mistake { return &Mistake{Kind: MistakenRows, Lines: []int{a.Line, b.Line}} })
	}
	for p := range s.Log.Parts {
		for _, factor := range []float64{0.1, 10} {
			part := s.Log.Parts[p]
			if !part.Known || r.problem.partAt[p] < 0 {
				continue
			}
			off := s
			off.Log.Parts = slices.Clone(s.Log.Parts)
			off.Log.Parts[p].Capacitance *= factor
			off.Log.Parts[p].Uncertainty *= factor
			try(off, 0, func(*Result) *Mistake {
				return &Mistake{Kind: MistakenPart, Part: part.Name, Read: part.Capacitance, Meant: part.Capacitance * factor, Lines: s.Log.linesWith(p)}
			})
		}
	}
	return best
}

// suspectedRows returns the readings that are tried one by one: all, or those with the
// largest studentised residuals.
func (r *Result) suspectedRows() []int {
	rows := slices.Clone(r.problem.rows)
	if len(rows) <= mostTried {
		return rows
	}
	slices.SortStableFunc(rows, func(a, b int) int {
		switch x, y := math.Abs(r.Readings[a].Standardised), math.Abs(r.Readings[b].Standardised); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return rows[:mostTried]
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
