package report

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
)

// full is all that a fit gives, each thing once.
func (t *text) full(r *model.Result, src Source) {
	t.line(fmt.Sprintf("%s: %s%s; model: %s", src.Log, howMany(r.Log()), used(r), resonatorName(r)))
	t.proviso(r)
	t.warnings(r, src, everything)
	starred := false
	for i, g := range Groups(r) {
		note := ""
		if i == 0 {
			note = "± is one standard uncertainty"
		}
		t.section(g.Title, note)
		t.table(g.values())
		if !starred && slices.ContainsFunc(g.Estimates, func(e quantities.Estimate) bool { return e.ByProfile }) {
			starred = true
			t.under("* by profile likelihood, where the linear interval would be off by more than a tenth of ±")
		}
		for _, s := range g.Words {
			t.under(s)
		}
	}
	t.section("Where the variance comes from", "percent")
	t.table(budgets(r))
	if len(r.Checks) > 0 {
		t.section("Drawing against readings", "readings without the drawing; two sigmas are not significant")
		t.table(Checks(r.Checks))
	}
	t.section("How well the model describes the readings", "")
	for _, s := range Quality(r) {
		t.under(s)
	}
	t.section("Readings", "")
	t.table(Readings(r))
	if _, left := Listed(r); left > 0 {
		t.under(fmt.Sprintf("and %d more (--json has all)", left))
	}
	t.gaps(r)
	if len(r.Assumed) > 0 {
		t.section("Priors and defaults", "stated nowhere; share: of the variance of the effective inductance")
		for i := range r.Assumed {
			t.prior(&r.Assumed[i])
		}
	}
	t.notes(r)
	if s := citation(r, src); s != "" {
		t.section("To cite", "")
		t.under(s)
	}
}

// citation is how another text refers to the answer: what was found, from what, by what;
// none of what contradicts itself.
func citation(r *model.Result, src Source) string {
	p, ok := r.Pair()
	if !ok || src.Program == nil || undermined(r) {
		return ""
	}
	quoted := func(e *quantities.Estimate) string {
		return nobreak(units{}.estimate(e, e.Uncertainty).Format(e.Value, e.Uncertainty).Concise())
	}
	s := fmt.Sprintf("Effective inductance %s, effective capacitance %s, correlation coefficient %s; fitcoil %s; log %s, SHA-256 %s.",
		quoted(&p.Inductance), quoted(&p.Capacitance), wording.Correlation(p.Correlation), src.Program.Version, src.Log, src.SHA256)
	return s
}

// prior writes one of them, with what it brings to the inductance in air.
func (t *text) prior(a *estimation.Assumption) {
	what, value, replacedBy := assumption(a)
	if s := shareText(a.Share); s != "-" {
		value += "; share " + s
	}
	if !math.IsNaN(a.Moved) {
		value += fmt.Sprintf("; by the fit moved %s ±, ± × %s", wording.Moved(a.Moved), quantity.Decimals(a.Left, 2))
	}
	t.bullet(what + ": " + value)
	t.hang("    replaced by ", replacedBy)
}

// gaps lists what the readings don't determine. What clips and leads bring, and a
// drift, are among the priors already.
func (t *text) gaps(r *model.Result) {
	if len(openQuestions(r)) == 0 {
		return
	}
	t.section("Not determined by these readings", "")
	for _, u := range openQuestions(r) {
		what, remedy := Sentences(u)
		t.bullet(what)
		t.hang("    remedy: ", remedy)
	}
}

// notes lists the findings that no other section has.
func (t *text) notes(r *model.Result) {
	rest := slices.DeleteFunc(slices.Clone(r.Findings), func(f findings.Finding) bool { return !noted(f) })
	if len(rest) == 0 {
		return
	}
	t.section("Notes", "")
	for _, f := range rest {
		t.bullet(Sentence(f))
	}
}

// everything, in place of how terse, leaves nothing out.
const everything = -1

// budgets lists, for each determined quantity, where its variance comes from, in
// percent.
func budgets(r *model.Result) *Table {
	t := newTable(left(""), right("readings"), right("tolerances"), right("known values"), right("priors"), right("model"))
	for _, g := range Groups(r) {
		for _, e := range g.Estimates {
			if !e.Determined {
				continue
			}
			cells := []string{wording.QuantityOf(&e)}
			for _, share := range Shares(&e) {
				cells = append(cells, quantity.Decimals(100*share, 0))
			}
			t.row(cells...)
		}
	}
	t.dropZeroColumns()
	return t
}
