package model

// Answer is a result with what is to be said of it.
type Answer struct {
	*Result
	Checks       []Check      // the drawing against the readings alone; nil without one
	Pairs        Pairs        // the effective pair, by the readings and by a drawing
	Alternative  *Alternative // the same readings with the other resonator; nil if it has no solution
	Undetermined []Undetermined
	Findings     []Finding
}

// Fit finds the coil that explains the readings of s best, and judges how far to
// believe it.
//
// It fails with ErrNoReadings, UnknownQuantityError or NotConvergedError. That
// some quantities stay undetermined is no failure: see Answer.Undetermined.
func Fit(s Session) (*Answer, error) {
	r, err := fitOnly(s)
	if err != nil {
		return nil, err
	}
	pattern, found := r.neighbours()
	if found {
		s.alike = pattern.Value
		if r, err = fitOnly(s); err != nil {
			return nil, err
		}
	}
	contradicted := r.contradictions()
	r.suspect(contradicted)
	findings := r.findings(contradicted)
	if found {
		findings = append(findings, pattern)
	}
	out := &Answer{Result: r, Alternative: r.alternative(), Undetermined: r.gaps(), Findings: findings}
	out.Checks, out.Pairs = r.compareWithDrawing()
	return out, nil
}
