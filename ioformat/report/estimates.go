package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/drawing"
	"fitcoil/model/findings"
	"fitcoil/model/loss"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// Group is a part of the coil's story: a table, with a row for each estimate,
// and a few sentences, broken into lines.
type Group struct {
	Title     string
	Core      string // the core it is about, if any
	Estimates []quantities.Estimate
	Words     []string
}

// Groups sorts the estimates of r by what they belong to: the coil, each core, a
// hand, parts on the top.
func Groups(r *model.Result) []Group {
	coil := Group{Title: "The coil"}
	parts := Group{Title: "Parts on the top"}
	bench := Group{Title: "The bench"}
	hand := Group{Title: "Hand near the top"}
	primary := Group{Title: "The primary"}
	losses := Group{Title: "Losses, as the quality factor that each would leave by itself"}
	var cores []Group
	for e := range r.All() {
		g := &coil
		switch {
		case quantities.OfCoupling(e.Name):
			g = &primary
		case quantities.OfLoss(e.Name):
			g = &losses
		case e.Core != "":
			at := slices.IndexFunc(cores, func(g Group) bool { return g.Core == e.Core })
			if at < 0 {
				at, cores = len(cores), append(cores, Group{Title: "Core " + e.Core, Core: e.Core})
			}
			g = &cores[at]
		case e.Name == quantities.LeadCapacitance, e.Name == quantities.Drift:
			g = &bench
		case e.Part != "":
			g = &parts
		case e.Hand > 0, e.Name == quantities.HandStrength, e.Name == quantities.HandOffset, e.Name == quantities.HandExponent:
			g = &hand
		}
		g.Estimates = append(g.Estimates, *e)
	}
	// First what belongs together: the bare frequency with the effective inductance and
	// capacitance that give it, then the winding by itself.
	stable.Sort(coil.Estimates, func(a, b quantities.Estimate) int { return rank(a.Name) - rank(b.Name) })
	coil.Words = coilWords(r)
	for i := range cores {
		core := cores[i].Core
		cores[i].Words = slices.Concat(coreWords(r, core), dispersionWords(r, core), contrastWords(r, core))
	}
	losses.Words = lossWords(r, losses.Estimates)
	primary.Words = primaryWords(r, primary.Estimates)
	if r.Find(quantities.Key{Name: quantities.Drift}) != nil {
		bench.Words = []string{"All values are those in the middle of the session."}
	}
	out := []Group{coil}
	for _, g := range append(cores, primary, losses, hand, parts, bench) {
		if len(g.Estimates) > 0 {
			out = append(out, g)
		}
	}
	for i := range out {
		if undermined(r) {
			out[i].Title += contradictedMark
		}
	}
	return out
}

// rank is the place of a quantity of the coil.
func rank(name string) int {
	first := []string{quantities.BareFrequency, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.LCProduct, quantities.Impedance, quantities.Inductance}
	if i := slices.Index(first, name); i >= 0 {
		return i
	}
	return len(first)
}

// equivalentLine tells how far the capacitances of a line are from the winding's own; the
// factors are from docs/field.md, "Slenderness as one more unknown, tried".
const equivalentLine = "The winding's own capacitance is larger than that of the equivalent line: 1.2 times at l/D 40, twice at l/D 2; a coil sheet (--coil) gives it."

const correlated = 0.9 // a correlation coefficient that is worth a word

// coilWords tells which inductance goes with which capacitance.
func coilWords(r *model.Result) []string {
	for _, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.Inductance} {
		if !r.Find(quantities.Key{Name: name}).Determined {
			return nil
		}
	}
	pair := "The effective inductance and capacitance, seen from the top, belong together: they give the bare frequency."
	if p, ok := r.Pair(); ok && math.Abs(p.Correlation) >= correlated {
		pair += " Their correlation coefficient is " + wording.Correlation(p.Correlation) + ": what is computed from both needs their covariance (--json)."
	}
	words := []string{pair,
		"The inductance in air is that of the whole winding at low frequency, with the same current in all turns."}
	if d := r.Session.Drawn; d != nil {
		words = append(words, metalWords(d)...)
	}
	if w := r.Find(quantities.Key{Name: quantities.WindingCapacitance}); w != nil && w.Equivalent && w.Determined {
		words = append(words, equivalentLine)
	}
	return words
}

// metalWords says what closed metal around a drawn coil takes of its inductance.
func metalWords(d *drawing.Drawn) []string {
	takes := d.Drawing.Coil.MetalTakes()
	if takes == 0 {
		return nil
	}
	return []string{fmt.Sprintf("Closed metal as drawn takes %s %% of the inductance, if it is thicker than its skin depth (copper at the bare frequency: %s); a meter at low frequency reads more.",
		quantity.Digits(100*takes, 2), quantity.FormatValue(loss.SkinDepth(d.Frequency.Value), 2, "m"))}
}

// coreWords says why the gain isn't what the frequencies alone suggest.
func coreWords(r *model.Result, core string) []string {
	gain, apparent := r.Find(quantities.Key{Name: quantities.CoreGain, Core: core}), r.Find(quantities.Key{Name: quantities.RatioGain, Core: core})
	if s := CoveredIn(apparent); s != "" {
		return []string{"Frequency ratio and drop, apparent gain and impedance ratio are those with " + s + " of the winding covered, the most that was read; gain, capacitance and inductance are those with all of it."}
	}
	if !gain.Determined || !apparent.Determined {
		return nil
	}
	c := r.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: core})
	switch {
	case !c.Determined:
		return []string{"The apparent gain counts a capacitance of the core as inductance; readings with a known capacitor on the top, core in and out, would separate them."}
	case math.Abs(c.Value) < 2*c.Uncertainty:
		return []string{fmt.Sprintf("The apparent gain assumes the same current in all turns; the core's capacitance, %s, is not significant.", known(c))}
	}
	return []string{fmt.Sprintf("The apparent gain counts the core's capacitance, %s, and its place along the winding as inductance.", known(c))}
}

// dispersionWords says how far a drawn core's gain may move over the frequencies read with it.
func dispersionWords(r *model.Result, core string) []string {
	d, ok := findings.Disperses(r.Result)
	if !ok || d.Core != core {
		return nil
	}
	return []string{fmt.Sprintf("Over the frequencies read with it, %s to %s, the permeability of such ferrite may move by %s %%, which moves the gain by %s %% (Snoek's law).",
		quantity.FormatValue(d.Low, 3, "Hz"), quantity.FormatValue(d.High, 3, "Hz"), quantity.Digits(100*(d.Permeability-1), 2), quantity.Digits(100*d.Gain, 2))}
}

// contrastWords says what a core does to amplitude and quality factor.
func contrastWords(r *model.Result, core string) (words []string) {
	for _, c := range r.Contrasts {
		if c.Core != core {
			continue
		}
		what := "pickup amplitude"
		if c.Quality {
			what = "quality factor"
		}
		words = append(words, fmt.Sprintf("The %s with the core is that without it × %s.", what, contrast(c)))
	}
	return append(words, amplitudeWords(r, core)...)
}

// Table lists the estimates of g with their uncertainty, 95 % interval, and where their
// variance comes from.
func (g *Group) Table() *Table {
	t := newTable(left(""), right("value"), left("±"), left(""), left("95 % interval"), left("variance from"))
	units := unitsOf(g.Estimates)
	for _, e := range g.Estimates {
		if !e.Determined {
			t.row(wording.Quantity(&e), quantity.Undetermined, "", "", "", "")
			continue
		}
		t.row(append([]string{wording.Quantity(&e)}, cells(&e, units)...)...)
	}
	return t
}

// values is Table without where the variance comes from.
func (g *Group) values() *Table {
	t := g.Table()
	last := len(t.Columns) - 1
	t.Columns = t.Columns[:last]
	for i := range t.Rows {
		t.Rows[i] = t.Rows[i][:last]
	}
	return t
}

// cells returns value, uncertainty, unit, interval and source of a determined
// estimate.
func cells(e *quantities.Estimate, units units) []string {
	width := width(e)
	u := units.estimate(e, width)
	i := u.FormatInterval(e.Interval[0], e.Interval[1])
	span := i.Low + " to " + i.High
	if e.ByProfile {
		span += "*"
	}
	if e.Bound != fit.Free { // no ±: the interval says it all
		return []string{"at its limit", "", u.Symbol, span, varianceFrom(e)}
	}
	v := u.Format(e.Value, width)
	return []string{v.Value, v.Uncertainty, v.Unit, span, varianceFrom(e)}
}

// varianceFrom names the sources of an estimate's variance.
func varianceFrom(e *quantities.Estimate) string {
	var parts []string
	for i, share := range Shares(e) {
		if share >= 0.01 {
			what := [...]string{"readings", "tolerances", "known values", "prior", "model"}[i]
			parts = append(parts, fmt.Sprintf("%s %s %%", what, quantity.Decimals(100*share, 0)))
		}
	}
	return strings.Join(parts, ", ")
}

// Shares are those of a variance from readings, tolerances, known values, priors, and the model.
func Shares(e *quantities.Estimate) [5]float64 {
	b := &e.Budget
	return [...]float64{b.Readings, b.Tolerance, b.Known, b.Assumed, b.Model}
}

// primaryWords tells what the couplings are, and what a core did to the one at resonance.
func primaryWords(r *model.Result, list []quantities.Estimate) (words []string) {
	told := false
	for _, with := range list {
		if !with.Determined {
			continue
		}
		if !told {
			words = append(words, "At resonance: k² = 1 − (f_open/f_short)², the coil bare or with the core; of the windings: with the same current in all turns.")
			told = true
		}
		air := r.Find(quantities.Key{Name: quantities.CouplingAtResonance})
		if with.Name == quantities.CouplingAtResonance && with.Core != "" && air != nil && air.Determined {
			words = append(words, fmt.Sprintf("Core %s takes the coupling at resonance to %s times that in air.", with.Core,
				quantity.FormatValue(with.Value/air.Value, 3, "")))
		}
	}
	return words
}

// couplings writes the couplings of a primary.
func (t *text) couplings(r *model.Result) {
	for _, k := range []struct{ name, label string }{{quantities.CouplingAtResonance, "Coupling"}, {quantities.CouplingOfWindings, "of the windings"}} {
		var list []string
		for i := range r.Derived {
			if e := &r.Derived[i]; e.Name == k.name && e.Determined {
				where := "core out "
				if e.Core != "" {
					where = "core " + e.Core + " "
				}
				list = append(list, nobreak(where+known(e)))
			}
		}
		if len(list) > 0 {
			t.point(k.label, strings.Join(list, ", "))
		}
	}
}

// losses writes how losses divide, as far as that is determined.
func (t *text) losses(r *model.Result) {
	var list []string
	for i := range r.Derived {
		if e := &r.Derived[i]; quantities.OfLoss(e.Name) && e.Determined {
			list = append(list, nobreak(wording.Loss(e)+" "+known(e)))
		}
	}
	if len(list) > 0 {
		t.point("Q factor by", strings.Join(list, ", "))
	}
}

// lossWords tells what the parts of a quality factor are.
func lossWords(r *model.Result, list []quantities.Estimate) (words []string) {
	d := r.Session.Drawn
	for _, e := range list {
		if !e.Determined {
			continue
		}
		if words == nil {
			words = []string{"1/Q is the sum of 1 over these; winding and dielectric of the bare coil, core with the core in and nothing added.",
				"That of a core holds what its field adds to the winding's loss; the ± of each quality factor read is guessed as 5 %, and corrected by their scatter."}
		}
		if e.Name == quantities.QualityCore && d != nil && d.Core != nil && (d.Drawing.Core == "" || d.Drawing.Core == e.Core) {
			if p, err := d.Drawing.Coil.GainSlope(); err == nil && p*e.Value > 1 {
				words = append(words, fmt.Sprintf("As drawn, the gain of core %s changes by %s of a relative change of its permeability: 1/Q = %s·tan δ, so that tan δ is %s at most.", e.Core, quantity.Digits(p, 2), quantity.Digits(p, 2), quantity.Digits(1/(p*e.Value), 2)))
			}
			if m := d.Find(quantities.QualityCore); m != nil {
				words = append(words, fmt.Sprintf("Its material alone would leave a quality factor of %s, by the sheet's loss tangent.", quantity.Format(m.Value, m.Uncertainty, "")))
			}
		}
	}
	return words
}

// amplitudeWords says what explains the amplitude with a core over that without.
func amplitudeWords(r *model.Result, core string) []string {
	s, ok := r.AmplitudeShares(core)
	if !ok {
		return nil
	}
	times := func(x float64) string { return "× " + quantity.Decimals(x, 2) }
	list, rest := fmt.Sprintf("the quality factor explains %s, the capacitance %s", times(s.Quality), times(s.Capacitance)), "coupling and pickup"
	if !math.IsNaN(s.Coupling) {
		list, rest = list+", the coupling "+times(s.Coupling), "what else changes"
	}
	return []string{fmt.Sprintf("With the same current in the drive, of the bare coil's amplitude ratio, %s, %s; for %s, %s is left.", times(s.Amplitude), list, rest, times(s.Rest))}
}
