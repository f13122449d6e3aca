package model

import (
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
)

// Result is what the readings of a session say, and how far to believe it.
type Result struct {
	*estimation.Result
	Checks       []estimation.Check      // the drawing against the readings alone; nil without one
	Pairs        estimation.Pairs        // the effective pair, by the readings and by a drawing
	Alternative  *estimation.Alternative // the same readings with the other resonator; nil if it has no solution
	Undetermined []findings.Undetermined
	Findings     []findings.Finding
}

// Fit finds the coil that explains the readings of s best, and judges how far to
// believe it.
//
// It fails with estimation.ErrNoReadings, quantities.UnknownQuantityError or
// estimation.NotConvergedError. That
// some quantities stay undetermined is no failure: see Result.Undetermined.
func Fit(s estimation.Session) (*Result, error) {
	r, err := estimation.Fit(s)
	if err != nil {
		return nil, err
	}
	pattern, found := findings.CheckNeighbours(r)
	if found {
		s.Alike = pattern.Value
		if r, err = estimation.Fit(s); err != nil {
			return nil, err
		}
	}
	contradicted := findings.Contradictions(r)
	findings.FlagSuspects(r, contradicted)
	list := findings.All(r, contradicted)
	if found {
		list = append(list, pattern)
	}
	out := &Result{Result: r, Alternative: r.NewAlternative(), Undetermined: findings.Gaps(r), Findings: list}
	out.Checks, out.Pairs = r.CompareWithDrawing()
	return out, nil
}
