package findings

import (
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/patterns"
	"fitcoil/model/quantities"
)

// All lists what there is to know, contradictions first. It judges r, with the tolerances as
// stated; told is the result whose numbers are reported.
func All(r, told *estimation.Result, contradictions []Finding) (out []Finding) {
	// a robust fit helps against readings far off, not against a wrong part
	repeats := repeatScatter(r)
	var m *Mistake
	// of many readings that scatter alike, none is mistaken; of those that a lumped model misses by per cents, none shows
	if !r.Session.Lumped && (len(r.Problem.Rows) <= mostTried || !repeats.Explain()) {
		m = findMistake(r, contradictions)
	}
	robust := r.Quality.Scale >= muchScatter && !r.Session.Robust && len(contradictions) == 0 && m == nil
	if m != nil {
		repeats = nil // the mistake is in them, and no larger ± mends it
		out = append(out, Finding{Kind: LikelyMistake, Mistake: m})
	}
	for _, f := range contradictions {
		if m == nil || m.leaves(r, f) {
			out = append(out, f)
		}
	}
	if f, found := checkFarOff(r); found && len(out) == 0 {
		robust, out = false, append(out, f)
	}
	q := r.Quality
	earlier, contradicts := CheckEarlier(r)
	switch {
	case contradicts:
		out = append(out, earlier)
	case q.DegreesOfFreedom == 0 || q.Redundancy < 1:
		out = append(out, Finding{Kind: NothingToTest})
	case q.Scale >= calm && q.PValue < 0.05: // PValue knows of contradicted priors too, as which alone they are told
		out = append(out, Finding{Kind: ScatterExceeds, Value: q.Scale, Other: q.PValue, Repeats: repeats, Robust: robust && !repeats.Explain()})
	case tooGood(r):
		out = append(out, Finding{Kind: TooGood, Value: q.PValue})
	}
	for _, k := range r.Solution.Forgotten {
		i := r.Problem.Rows[k]
		out = append(out, Finding{Kind: ReadingForgotten, Line: r.Readings[i].Line, Mistake: misread(r, i)})
	}
	for i := range r.Readings {
		switch o := &r.Readings[i]; {
		case o.Flagged && slices.Contains(r.Solution.Forgotten, slices.Index(r.Problem.Rows, i)): // told
		case o.Flagged && (m == nil || m.Kind == MistakenReading && m.Lines[0] == o.Line): // a fit with the mistake in it tells nothing of others
			out = append(out, Finding{Kind: ReadingSuspect, Line: o.Line, Value: o.Deleted})
		case o.Moves != nil && m == nil:
			out = append(out, Finding{Kind: ReadingDecisive, Line: o.Line, Moves: o.Moves, Value: o.Moves.By, Other: o.Standardised})
		}
	}
	if len(contradictions) == 0 || contradictions[0].Kind != CapacitanceBelowZero { // which no other unit mends
		out = append(out, CheckPlausible(r)...)
	}
	out = append(out, repeated(r)...)
	for i := range told.Parameters {
		if e := &told.Parameters[i]; e.Bound != fit.Free {
			out = append(out, Finding{Kind: AtBound, Name: e.Name})
		}
	}
	if r.Problem.Share >= 0 && r.SplitDetermined() {
		switch {
		case !r.Find(quantities.Key{Name: quantities.WindingCapacitance}).Determined: // told among the gaps
		case shareAssumed(r):
			out = append(out, Finding{Kind: ShapeAssumed})
		}
	}
	if f, found := CheckDrift(r, told); found && m == nil { // a mistake bends a fit in time too
		out = append(out, f)
	}
	if f, found := checkDispersion(r); found {
		out = append(out, f)
	}
	if rho, p := patterns.Trend(usedResiduals(r)); p < 0.01 && m == nil {
		out = append(out, Finding{Kind: RunOrderTrend, Value: rho, Other: p})
	}
	if lines := unchecked(r); len(lines) > 0 {
		out = append(out, Finding{Kind: ReadingsUnchecked, Lines: lines})
	}
	for _, i := range r.Problem.Rows {
		if u := r.Problem.ModelUncertainty(r.Solution.X, &r.Session.Log.Readings[i].State); u > 0 {
			out = append(out, Finding{Kind: ModelUncertainty, Value: u})
			break
		}
	}
	return out
}

// tooGood tells whether the readings by themselves agree better than chance lets them in one
// of a hundred sessions. Priors, which are broad, must not count.
func tooGood(r *estimation.Result) bool {
	return r.Scatter.Redundancy >= 1 && r.Quality.PValue >= 0.99 &&
		fit.ChiSquareSurvival(r.Solution.DataSquares, r.Scatter.Redundancy) >= 0.99
}

// muchScatter is the scatter over what is stated from which on a few readings far off are
// as likely as a common cause. A plain choice: with 1.2 and with 4 a robust fit is advised for the
// same of the simulated sessions (TestWhatIsTold), 2 of 1000 good ones among them.
const muchScatter = 2

// shareAssumed tells whether the split between winding and top capacitance
// comes from a prior more than from the readings.
func shareAssumed(r *estimation.Result) bool {
	grad := make([]float64, r.Problem.N)
	grad[r.Problem.Share] = 1
	var shares [estimation.Origins]float64
	variance, _ := r.Shares.Of(grad, shares[:])
	return estimation.NewBudget(shares, variance).Assumed > 0.5
}

// usedResiduals returns the standardised residuals of the fitted readings, in
// run order.
func usedResiduals(r *estimation.Result) (s []float64) {
	for _, o := range r.Readings {
		if o.Use && quantities.Finite(o.Standardised) {
			s = append(s, o.Standardised)
		}
	}
	return s
}
