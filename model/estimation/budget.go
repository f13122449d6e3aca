package estimation

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// Input is one input quantity of an estimate: a line of its uncertainty budget (JCGM 100:2008,
// 5.1 and H.1).
type Input struct {
	Source
	Line int // of a reading, in its log; 0 for others

	Value        float64 // SI
	Unit         string
	Logarithmic  bool    // Uncertainty is that of the logarithm of Value
	Uncertainty  float64 // standard, as the fit counts it
	Sensitivity  float64 // ∂y/∂x; of a logarithmic input ∂y/∂ln x
	Contribution float64 // Sensitivity · Uncertainty, in the unit of the estimate
	Degrees      float64 // of freedom of Uncertainty, +Inf for a stated one
}

// Budget lists the input quantities of e, readings first, then parts, priors and known
// values. The squares of their contributions sum to the square of e's uncertainty. It is
// empty where e has none.
func (r *Result) Budget(e *quantities.Estimate) []Input {
	if e == nil || !e.Determined || !(e.Uncertainty > 0) {
		return nil
	}
	grad := r.gradient(e, r.Problem.Quantities())
	if grad == nil {
		return nil
	}
	var ball *quantities.Estimate
	if e.Name == quantities.StrayCapacitance {
		ball = r.Session.Drawn.Find(quantities.TopCapacitance)
	}
	return r.inputs(grad, ball)
}

// FrequencyBudget returns the frequency of s, as Frequency does, and its input quantities. Parts
// of s that no reading has are among these, and what the model errs by in s.
func (r *Result) FrequencyBudget(s readings.State, extra []readings.Part) (e quantities.Estimate, list []Input) {
	f, x := r.With(extra)
	e = r.FrequencyAt(f, x, &s)
	if !e.Determined || !(e.Uncertainty > 0) {
		return e, nil
	}
	grad := make([]float64, f.N)
	f.Frequency(x, &s, grad)
	_, model := r.atPlace(f, x, &s, grad)
	floats.Scale(e.Value, grad)
	n, wide := r.Problem.N, r.Problem.Wide
	list = r.inputs(grad[:n], nil)
	for i, part := range f.Parts {
		if k := f.PartAt[i]; k >= n && grad[k] != 0 {
			own, _ := f.Split(i)
			list = append(list, Input{Source: Source{Kind: PartSource, Part: part.Name}, Value: part.Capacitance, Unit: "F",
				Uncertainty: own * part.Uncertainty * wide, Sensitivity: grad[k] / (own * part.Uncertainty), Contribution: grad[k] * wide,
				Degrees: r.PartErrors.degrees()})
		}
	}
	if f.Lead >= n && grad[f.Lead] != 0 {
		list = append(list, Input{Source: Source{Kind: AssumptionSource, Assumption: assume(AssumedLead, 0, forward.LeadSigma)}, Unit: "F",
			Uncertainty: forward.LeadSigma * wide, Sensitivity: grad[f.Lead] / forward.LeadSigma, Contribution: grad[f.Lead] * wide, Degrees: math.Inf(1)})
	}
	for i, u := range []float64{model, f.TransferUncertainty(x, &s), f.LawUncertainty(x, &s)} {
		from := Source{Kind: ModelSource}
		if i == 2 {
			from = Source{Kind: LawSource, Hand: s.Hand}
		}
		if u > 0 {
			list = append(list, Input{Source: from, Unit: "1", Uncertainty: u, Sensitivity: e.Value, Contribution: e.Value * u, Degrees: math.Inf(1)})
		}
	}
	for i := range list {
		list[i].Share = math.Pow(list[i].Contribution/e.Uncertainty, 2)
	}
	return e, list
}

// inputs lists the input quantities of what has the gradient grad, less a value known of a
// drawing, if any.
func (r *Result) inputs(grad []float64, less *quantities.Estimate) (list []Input) {
	p, solution := r.Problem, r.Solution
	solution.AtBound = make([]fit.Bound, p.N) // as in SetCovariances
	variance := 0.0
	for row, u := range fit.Must(fit.Contributions(p.Problem, solution, r.Covariance, grad)) {
		var in Input
		if row.Prior && p.Origins[row.Index] == FromEarlier {
			variance += u * u
			list = addEarlier(list, p.earlierOf(row.Index), u)
			continue
		}
		if row.Prior {
			in = p.priorInput(row.Index, solution.X)
			in.Degrees = math.Inf(1)
			if in.Kind == PartSource || in.Kind == CommonSource {
				in.Degrees = r.PartErrors.degrees()
			}
		} else {
			in = r.readingInput(row.Index)
		}
		in.Contribution = u
		variance += u * u
		if in.Uncertainty > 0 {
			in.Sensitivity = u / in.Uncertainty
		}
		list = append(list, in)
	}
	if less != nil {
		in := Input{Source: Source{Kind: KnownSource, Known: less.Key}, Value: less.Value, Unit: less.Unit,
			Uncertainty: less.Uncertainty, Sensitivity: -1, Contribution: -less.Uncertainty, Degrees: math.Inf(1)}
		list, variance = append(list, in), variance+less.Uncertainty*less.Uncertainty
	}
	for i := range list {
		list[i].Share = list[i].Contribution * list[i].Contribution / variance
	}
	return list
}

// addEarlier adds what one row of an earlier session contributes, to the line of that session.
func addEarlier(list []Input, e *Earlier, u float64) []Input {
	i := slices.IndexFunc(list, func(in Input) bool { return in.Kind == EarlierSource && in.Earlier == e.Log })
	if i < 0 {
		i = len(list)
		list = append(list, Input{Source: Source{Kind: EarlierSource, Earlier: e.Log, Count: len(e.States)},
			Value: math.NaN(), Uncertainty: math.NaN(), Sensitivity: math.NaN(), Degrees: math.Inf(1)})
	}
	list[i].Contribution = math.Hypot(list[i].Contribution, u)
	return list
}

// readingInput is data row k, as the fit weighs it.
func (r *Result) readingInput(k int) Input {
	o := &r.Session.Log.Readings[r.Problem.Rows[k]]
	return Input{
		Source: Source{Kind: source(&o.State), Count: 1}, Line: o.Line,
		Value: o.Frequency, Unit: "Hz", Uncertainty: r.Problem.Weighed[k] * r.Solution.Scale, Degrees: r.Solution.ScaleDegrees,
	}
}

// priorInput is prior row i.
func (p *Problem) priorInput(i int, x []float64) (in Input) {
	switch p.Origins[i] {
	case FromTolerance:
		k := p.PriorOf[i]
		own, _ := p.Split(k)
		part := &p.Parts[k]
		in.Kind, in.Part = PartSource, part.Name
		in.Value, in.Unit, in.Uncertainty = part.Capacitance, "F", own*part.Uncertainty*p.Wide
	case FromCommon:
		in.Kind, in.Assumption, in.Unit = CommonSource, p.Assumed[i], "1"
		in.Uncertainty = p.lotUncertainty(p.lotOfRow(i)) * p.Wide
	case FromKnown:
		k := &p.Knowns[i-(len(p.Origins)-len(p.Knowns))]
		in.Kind, in.Known = KnownSource, k.Key
		in.Value, in.Unit, in.Uncertainty = k.Value, k.q.Unit, k.Uncertainty
	case fromModel:
		in.Kind, in.Unit = ModelSource, "1"
		if n := p.nth(i); n < len(p.Places) {
			in.Uncertainty = p.placeUncertainty(p.Places[n].At, x)
		} else {
			in.Kind, in.Hand, in.Uncertainty = LawSource, p.Near[n-len(p.Places)].Hand, forward.HandSpread
		}
	default:
		in.Kind, in.Assumption = AssumptionSource, p.Assumed[i]
		in.Value, in.Uncertainty = in.Assumption.Value, in.Assumption.Spread
		if in.Assumption.Kind == AssumedCoreCapacitance { // beyond what is drawn, in parts of the winding's
			in.Value = 0
		}
		in.Logarithmic = in.Assumption.Kind.Factor()
		if in.Logarithmic {
			in.Uncertainty = math.Log(in.Assumption.Spread)
		}
		in.Unit = in.Assumption.Kind.unit()
	}
	return in
}

// Factor tells whether Spread is a factor.
func (k AssumptionKind) Factor() bool {
	switch k {
	case AssumedEnds, AssumedMoved, AssumedHandOffset, AssumedCapacitance, AssumedHand, AssumedPart:
		return true
	}
	return false
}

// unit is that of Value.
func (k AssumptionKind) unit() string {
	switch k {
	case AssumedHandOffset:
		return "m"
	case AssumedLead, AssumedCapacitance, AssumedHand, AssumedPart:
		return "F"
	}
	return "1" // what a core adds in capacitance as a fraction of the winding's
}

// nth counts the rows of an origin up to i.
func (p *Problem) nth(i int) (n int) {
	for _, o := range p.Origins[:i] {
		if o == p.Origins[i] {
			n++
		}
	}
	return n
}

// lotOfRow returns where in x stands what a prior row speaks of.
func (p *Problem) lotOfRow(i int) int { return p.Lots[p.nth(i)].At }

// lotUncertainty is the relative standard uncertainty that the parts of a lot have in common.
func (p *Problem) lotUncertainty(lot int) float64 {
	for k, at := range p.LotAt {
		if at == lot {
			_, common := p.Split(k)
			return common * p.Relative(k)
		}
	}
	return 0
}

// placeUncertainty is the relative standard uncertainty that the model adds to all readings with
// a core in one place, the first of them.
func (p *Problem) placeUncertainty(place int, x []float64) float64 {
	for _, i := range p.Rows {
		if s := &p.Log.Readings[i].State; p.Place(s) == place {
			return forward.InCommon * p.ModelUncertainty(x, s)
		}
	}
	return 0
}

// Source is one thing that the variance of a quantity comes from.
type Source struct {
	Kind       SourceKind
	Part       string         // of a PartSource
	Known      quantities.Key // of a KnownSource
	Earlier    string         // where the log of an EarlierSource was found
	Hand       float64        // m, of a LawSource; 0 for several
	Assumption Assumption     // of an AssumptionSource, and of a CommonSource that nobody stated
	Count      int            // readings, of those kinds
	Share      float64        // of the variance, 0 to 1
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
	EarlierSource // readings of an earlier session
	AssumptionSource
	ModelSource // what the model errs by with a core partly in
	LawSource   // what the law errs by of a hand's capacitance at a distance
	kinds       // how many there are
)

// Sources lists what the variance of e comes from, the largest first; the shares sum to 1.
// It is the summary of Budget: readings by what was read, and what the model errs by in one
// line. It is empty where e is undetermined.
func (r *Result) Sources(e *quantities.Estimate) (list []Source) {
	for _, in := range Summary(r.Budget(e)) {
		list = append(list, in.Source)
	}
	return list
}

// Summary puts the lines of a budget together that are of one kind, readings by what was read,
// and sorts by share. A line that stands for several has no value, and the root of the sum of
// squares for its contribution.
func Summary(budget []Input) (list []Input) {
	var at [kinds]int // where a kind stands in list, plus 1
	for _, in := range budget {
		if in.Kind != ModelSource && in.Kind != LawSource && in.Kind > HandReadings || at[in.Kind] == 0 {
			list = append(list, in)
			at[in.Kind] = len(list)
			continue
		}
		sum := &list[at[in.Kind]-1]
		*sum = Input{
			Source:       Source{Kind: in.Kind, Count: sum.Count + in.Count, Share: sum.Share + in.Share},
			Contribution: math.Hypot(sum.Contribution, in.Contribution), Unit: in.Unit, Degrees: in.Degrees,
			Value: math.NaN(), Uncertainty: math.NaN(), Sensitivity: math.NaN(),
		}
	}
	stable.Sort(list, func(a, b Input) int { return cmp.Compare(b.Share, a.Share) })
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

// IfCommon returns by what the uncertainty of e is multiplied where those parts err all alike of
// which nobody said how much of their tolerances they have in common; 1 where there are none.
//
// With s_i what the own error of part i of a lot brings to e, and s what they have in common
// does, a share c of the variance, an error of one standard uncertainty in all of them shifts e
// by s/√c. So e, as it was estimated, then has a variance larger by s²/c − s² − Σ s_i².
func (r *Result) IfCommon(e *quantities.Estimate) float64 {
	sources := r.Sources(e)
	variance := 1.0
	for _, lot := range sources {
		if lot.Kind != CommonSource || lot.Assumption.Kind != AssumedCommon {
			continue
		}
		variance += lot.Share * (1/forward.CommonShare - 1)
		for _, s := range sources {
			if s.Kind == PartSource && slices.Contains(lot.Assumption.Names, s.Part) {
				variance -= s.Share
			}
		}
	}
	return math.Sqrt(math.Max(variance, 0)) // but for rounding
}

// MostIfCommon returns the largest of these factors for the inductances and capacitances
// that an answer begins with, and the parts without a value.
func (r *Result) MostIfCommon() float64 {
	most := 1.0
	for e := range r.All() {
		switch e.Name {
		case quantities.PartCapacitance:
			if k := slices.IndexFunc(r.Problem.Parts, func(p readings.Part) bool { return p.Name == e.Part }); k >= 0 && r.Problem.Parts[k].Known {
				continue
			}
			fallthrough
		case quantities.Inductance, quantities.EffectiveInductance, quantities.EffectiveCapacitance:
			most = max(most, r.IfCommon(e))
		}
	}
	return most
}
