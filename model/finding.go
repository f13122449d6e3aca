package model

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
)

// Finding is something the user should know before believing the numbers.
type Finding struct {
	Kind    FindingKind
	Line    int    // of the log, where it concerns one reading
	Name    string // quantity, part or core, where it concerns one
	Lines   []int  // where it concerns several
	Moves   *Moved
	Mistake *Mistake
	Value   float64 // see the kind
	Other   float64
	Slip    *Slip // of unit, that would explain it
	Hourly  bool
	Robust  bool // a robust fit may tell more
	Pattern Pattern
}

// FindingKind says what a Finding is about, and what its Value and Other hold.
type FindingKind int

// Findings.
const (
	ScatterExceeds         FindingKind = iota // Value: factor on the stated uncertainties, Other: p-value
	NothingToTest                             // no degrees of freedom are left to test the model
	ReadingSuspect                            // Line; Value: standard uncertainties from what the others predict
	ReadingDecisive                           // Line; Moves: quantity; Value: its shift without the reading, in its standard uncertainties; Other: studentised residual
	LikelyMistake                             // Slip: one edit that makes the log consistent
	ReadingsUnchecked                         // Lines: readings that determine something alone, so that nothing checks them
	TooGood                                   // Value: p-value; the readings scatter less than stated
	PartOffTolerance                          // Name: part; Value: in F, by all else than its stated value, Other: pull in standard deviations
	KnownContradicts                          // Name: quantity; Value: known value, Other: pull in standard uncertainties
	AtBound                                   // Name: quantity at the limit of the possible
	ShapeAssumed                              // how the capacitance is shared rests on a broad belief
	NeighboursAlike                           // Name: order along which they are neighbours; Value: lag-1 autocorrelation, Other: p-value
	RunOrderTrend                             // Value: rank correlation of residuals with run order, Other: p-value
	ReadingApart                              // Line; Value: standard deviations from the mean of the readings in its state, Other: how many these are
	ReadingsSlow                              // Line: of the first; Value: uncertainty of their mean over what it were if each varied by itself
	ReadingsWander                            // Line: of the first; Value: the same, where no mean settles
	TolerancesContradicted                    // Value: p-value with the readings as uncertain as they scatter; Pattern
	Drifts                                    // Value: drift, Other: its standard uncertainty, by the readings alone; Hourly: both an hour
	ModelUncertainty                          // Value: relative standard uncertainty given to readings with a partly covered winding
	Implausible                               // Value: inductance [H] of no coil on a bench, or one with Other, its impedance [Ω]; Slip
)

// Undermines tells whether a finding makes all numbers doubtful, so that it has to be
// read before them.
func (f Finding) Undermines() bool {
	return f.Kind == KnownContradicts || f.Kind == PartOffTolerance || f.Kind == TolerancesContradicted || f.Kind == LikelyMistake || f.Kind == Implausible
}

// findings lists what there is to know, contradictions first.
func (r *Result) findings(contradictions []Finding) (out []Finding) {
	if m := r.findMistake(); m != nil { // it explains the contradictions too
		out = append(out, Finding{Kind: LikelyMistake, Mistake: m})
	} else {
		out = append(out, contradictions...)
	}
	q := r.Quality
	switch {
	case q.DegreesOfFreedom == 0:
		out = append(out, Finding{Kind: NothingToTest})
	case q.Scale >= 1.05 && q.PValue < 0.05: // PValue knows of contradicted priors too
		out = append(out, Finding{Kind: ScatterExceeds, Value: q.Scale, Other: q.PValue, Robust: q.Scale >= muchScatter && !r.session.Robust})
	case r.tooGood():
		out = append(out, Finding{Kind: TooGood, Value: q.PValue})
	}
	for i := range r.Readings {
		switch o := &r.Readings[i]; {
		case o.Flagged:
			out = append(out, Finding{Kind: ReadingSuspect, Line: o.Line, Value: o.Deleted})
		case o.Moves != nil:
			out = append(out, Finding{Kind: ReadingDecisive, Line: o.Line, Moves: o.Moves, Value: o.Moves.By, Other: o.Standardised})
		}
	}
	out = append(out, r.implausible()...)
	out = append(out, r.repeated()...)
	for i := range r.Parameters {
		if e := &r.Parameters[i]; e.Bound != fit.Free {
			out = append(out, Finding{Kind: AtBound, Name: e.Name})
		}
	}
	if r.problem.share >= 0 && r.splitDetermined() {
		switch {
		case !r.Find(WindingCapacitance, "", "", 0).Determined: // told among the gaps
		case r.shareAssumed():
			out = append(out, Finding{Kind: ShapeAssumed})
		}
	}
	if f, found := r.drifts(); found {
		out = append(out, f)
	}
	if rho, p := fit.Trend(r.usedResiduals()); p < 0.01 {
		out = append(out, Finding{Kind: RunOrderTrend, Value: rho, Other: p})
	}
	if lines := r.unchecked(); len(lines) > 0 {
		out = append(out, Finding{Kind: ReadingsUnchecked, Lines: lines})
	}
	for _, i := range r.problem.rows {
		if u := r.problem.modelUncertainty(r.fit.X, &r.session.Log.Readings[i].State); u > 0 {
			out = append(out, Finding{Kind: ModelUncertainty, Value: u})
			break
		}
	}
	return out
}

// tooGood tells whether the readings by themselves agree better than chance lets them in one
// of a hundred sessions. Priors, which are broad, must not count.
func (r *Result) tooGood() bool {
	return r.scatter.Redundancy >= 1 && r.Quality.PValue >= 0.99 &&
		fit.ChiSquareSurvival(r.fit.DataSquares, r.scatter.Redundancy) >= 0.99
}

// muchScatter is the scatter over what is stated from which on a few readings far off are
// as likely as a common cause.
const muchScatter = 2

// slow is from which factor on the uncertainty of a mean is told to be larger than
// that of readings which vary by themselves.
const slow = 1.5

// repeated tells of single readings far from the mean of their state, and of
// states that drift.
func (r *Result) repeated() (out []Finding) {
	for i := range r.Readings {
		o := &r.Readings[i]
		m := o.Repeats
		if m == nil || m.Count < fewestBlocks || !(m.Deviation > 0) {
			continue
		}
		most := fit.CoverageFactor(1-0.01/float64(m.Count), math.Inf(1)) // 1 % over all of them, as suspicious does
		for _, e := range []Extreme{m.Lowest, m.Highest} {
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

// shareAssumed tells whether the split between winding and top capacitance
// rests on a belief more than on the readings.
func (r *Result) shareAssumed() bool {
	grad := make([]float64, r.problem.n)
	grad[r.problem.share] = 1
	var shares [origins]float64
	variance, _ := r.shares.Of(grad, shares[:])
	return newBudget(shares, variance).Assumed > 0.5
}

// usedResiduals returns the standardised residuals of the fitted readings, in
// run order.
func (r *Result) usedResiduals() (s []float64) {
	for _, o := range r.Readings {
		if o.Use && finite(o.Standardised) {
			s = append(s, o.Standardised)
		}
	}
	return s
}

// contradictions tells which parts and known values disagree with the readings.
func (r *Result) contradictions() []Finding {
	pulls := r.pulls()
	if f, found := r.culprit(); found {
		pulls = append(slices.DeleteFunc(pulls, func(g Finding) bool { return g.Kind == f.Kind && g.Name == f.Name }), f)
	}
	if f, found := r.tolerancesContradicted(); found && len(pulls) == 0 {
		pulls = append(pulls, f)
	}
	slices.SortStableFunc(pulls, func(a, b Finding) int { return cmp.Compare(math.Abs(b.Other), math.Abs(a.Other)) }) // the likeliest cause first
	return pulls
}

// pulls tells which parts and known values disagree with the readings, by how
// many standard deviations of its own the fit had to move each. Of the parts
// only the worst is named, with those nearly as bad: a part far off drags the
// others along.
func (r *Result) pulls() (out []Finding) {
	p := r.problem
	rows := fit.Diagnose(p.Problem, r.fit)[len(p.rows):]
	worst := r.partOff()
	for i, o := range p.origins {
		if o == fromTolerance {
			worst = math.Max(worst, math.Abs(rows[i].Studentised)/2)
		}
	}
	for i, o := range p.origins {
		pull := rows[i].Studentised
		switch o {
		case fromTolerance:
			part := p.priorOf[i]
			if math.Abs(pull) > worst {
				out = append(out, Finding{Kind: PartOffTolerance, Name: p.parts[part].Name, Value: p.partByOthers(r.fit.X, part, rows[i].Leverage), Other: pull})
			}
		case fromKnown:
			k := p.knowns[i-(len(p.origins)-len(p.knowns))]
			if math.Abs(pull) > knownOff {
				out = append(out, Finding{Kind: KnownContradicts, Name: k.Name, Value: k.Value, Other: pull})
			}
		}
	}
	return out
}

// partByOthers returns what all but its own stated value make of part i [F]: the
// deleted residual of a prior row of that leverage, put on the nominal value.
func (p *problem) partByOthers(x []float64, i int, leverage float64) float64 {
	part := p.parts[i]
	k := p.partAt[i]
	own, _ := p.split(i)
	return part.Capacitance * math.Exp((p.partError(x, i)+own*x[k]*leverage/(1-leverage))*p.relative(i))
}

// partOff is how many standard deviations a part is moved before it is called off: as
// chance does in 1 % of sessions, over all parts (Bonferroni).
func (r *Result) partOff() float64 {
	n := 0
	for _, o := range r.problem.origins {
		if o == fromTolerance {
			n++
		}
	}
	return fit.CoverageFactor(1-0.01/float64(max(1, n)), math.Inf(1))
}

// knownOff is the same for a known value.
const knownOff = 3.0
