package estimation

import (
	"cmp"
	"slices"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Source is one thing that the variance of a quantity comes from.
type Source struct {
	Kind       SourceKind
	Part       string     // of a PartSource
	Known      string     // name of the quantity known, of a KnownSource
	Assumption Assumption // of an AssumptionSource, and of a CommonSource that nobody stated
	Count      int        // readings, of those kinds
	Share      float64    // of the variance, 0 to 1
}

// SourceKind says what a Source is.
type SourceKind int

// Kinds of sources. A reading counts with the first of these that it has: a hand, a core,
// something added.
const (
	BareReadings SourceKind = iota
	AddedReadings
	CoreReadings
	HandReadings
	PartSource   // the tolerance of a part, as far as it is its own
	CommonSource // what the tolerances of several parts have in common
	KnownSource
	AssumptionSource
	ModelSource // what the model errs by with a core partly in
)

// Sources lists what the variance of e comes from, the largest first; the shares sum to 1.
// It is empty where e is undetermined.
func (r *Result) Sources(e *quantities.Estimate) (list []Source) {
	if e == nil || !e.Determined {
		return nil
	}
	p := r.Problem
	grad := make([]float64, p.N)
	for _, q := range p.Quantities() {
		if q.Key == e.Key {
			q.Value(p.Model, r.Solution.X, grad)
		}
	}
	variance, _ := r.Covariance.Variance(grad)
	if !(variance > 0) {
		return nil
	}
	for i, s := range r.Covariance.Along(p.Prior, r.Solution.X, grad) {
		o := Source{Share: s * s / variance}
		switch p.Origins[i] {
		case FromTolerance:
			o.Kind, o.Part = PartSource, p.Parts[p.PriorOf[i]].Name
		case FromCommon:
			o.Kind, o.Assumption = CommonSource, p.Assumed[i]
		case FromKnown:
			o.Kind, o.Known = KnownSource, p.Knowns[i-(len(p.Origins)-len(p.Knowns))].Name
		case fromModel:
			o.Kind = ModelSource
		default:
			o.Kind, o.Assumption = AssumptionSource, p.Assumed[i]
		}
		list = append(list, o)
	}
	list = append(merged(list), r.readingSources(grad, e.Budget.Readings)...)
	slices.SortStableFunc(list, func(a, b Source) int { return cmp.Compare(b.Share, a.Share) })
	return list
}

// merged adds up what the model errs by, which has a row for each place of a core.
func merged(list []Source) (out []Source) {
	at := -1
	for _, s := range list {
		if s.Kind == ModelSource && at >= 0 {
			out[at].Share += s.Share
			continue
		}
		if s.Kind == ModelSource {
			at = len(out)
		}
		out = append(out, s)
	}
	return out
}

// readingSources splits the share of the readings by what was read.
func (r *Result) readingSources(grad []float64, share float64) (list []Source) {
	var count [HandReadings + 1]int
	var squares [HandReadings + 1]float64
	sum := 0.0
	for k, s := range r.Covariance.Along(r.Problem.Data, r.Solution.X, grad) {
		kind := source(&r.Session.Log.Readings[r.Problem.Rows[k]].State)
		count[kind]++
		squares[kind] += s * s
		sum += s * s
	}
	for kind, n := range count {
		if n > 0 && sum > 0 {
			list = append(list, Source{Kind: SourceKind(kind), Count: n, Share: squares[kind] / sum * share})
		}
	}
	return list
}

func source(s *readings.State) SourceKind {
	switch {
	case s.Nearness() > 0:
		return HandReadings
	case s.Core != "":
		return CoreReadings
	case len(s.Parts) > 0 || s.Exact > 0 || s.Clip:
		return AddedReadings
	}
	return BareReadings
}
