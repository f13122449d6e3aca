package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// assumption puts what a fit assumes into words: what, its value, and the flag, column
// or reading that takes its place.
func assumption(a *estimation.Assumption) (what, value, replacedBy string) {
	names := strings.Join(a.Names, ", ")
	spread := fmt.Sprintf("%s ± %s", quantity.Digits(a.Value, 3), quantity.Digits(a.Spread, 3))
	within := func(v, unit string) string {
		return fmt.Sprintf("%s%s, within a factor of %s", v, unit, quantity.FormatValue(a.Spread, 2, ""))
	}
	if a.Kind == estimation.AssumedEarlier {
		what = quantity.Count(a.Count, "reading") + " of the earlier session " + a.Names[0]
		if len(a.Names) > 1 {
			what += " (" + strings.Join(a.Names[1:], ", ") + ")"
		}
		return what, "as read then", "no --known-from"
	}
	picofarads := units{picofarads: true}.of(a.Value, a.Spread, "F").Format(a.Value, a.Spread).String()
	words := map[estimation.AssumptionKind][3]string{
		estimation.AssumedTolerance:       {"tolerance of " + names, fmt.Sprintf("%s %%, a bound taken as 95 %%", quantity.Digits(196*a.Spread, 2)), "column added ±, --tolerance, or --known PART=VALUE±TOLERANCE"},
		estimation.AssumedDigits:          {"± of " + quantity.Count(a.Count, "reading"), "half a unit of the last digit, rectangular", "column frequency ±"},
		estimation.AssumedShare:           {"top's share of the coil's capacitance", spread, "--coil with winding diameter and length, or --known winding_capacitance=VALUE±"},
		estimation.AssumedCoreCapacitance: {"capacitance that core " + names + " adds to the winding", fmt.Sprintf("%s ± %s %% of the winding's", asDrawn(a.Value), quantity.Digits(100*a.Spread, 3)), "--known core_capacitance:" + names + "=VALUE±"},
		estimation.AssumedEnds:            {"reach of the end effect, core " + names, within(quantity.Digits(a.Value, 3), " of the winding's length"), "--coil with winding diameter and length"},
		estimation.AssumedMoved:           {"capacitance that core " + names + " moves to the top, equivalent line", within(quantity.Digits(100*a.Value, 3)+" %", " of the winding's"), "--coil with winding diameter and length"},
		estimation.AssumedHandOffset:      {"offset d0 of the hand's law", within(wording.Distance(a.Value), ""), "--known hand_offset=VALUE±"},
		estimation.AssumedHandExponent:    {"exponent p of the hand's law", spread, "--known hand_exponent=VALUE±"},
		estimation.AssumedCommon:          {"tolerances in common, " + names, fmt.Sprintf("%s %% of their variance", quantity.Decimals(100*a.Value, 0)), "the word common or own behind a tolerance"},
		estimation.AssumedStray:           {"stray capacitance on the bench of the earlier session, less that here", picofarads, "no --new-bench"},
		estimation.AssumedLead:            {"capacitance of clips and leads", picofarads, "a reading with an empty clip (added: clip), or --known lead=VALUE±"},
		estimation.AssumedDrift:           {"drift, first to last reading", fmt.Sprintf("%s ± %s ppm", quantity.Decimals(1e6*a.Value, 0), quantity.Decimals(1e6*a.Spread, 0)), "the first state read again at the end, or --known drift=VALUE±"},
		estimation.AssumedCoupled:         {"coupling of the primary, ln(f_short/f_open)", spread, "readings with the primary open and shorted, in that state of the core"},
		estimation.AssumedPrimary:         {"place of the primary", "around the winding's grounded end", "--coil with the primary's turns, diameter and height"},
		estimation.AssumedCapacitance:     {"capacitance of winding and top", within(quantity.FormatValue(a.Value, 2, "F").String(), ""), "a reading with a known capacitor on the top, or --known inductance=VALUE±"},
		estimation.AssumedHand:            {"the hand's capacitance", within(quantity.FormatValue(1e12*a.Value, 2, "").String()+" pF", ""), "readings of the hand with nothing unknown on the top"},
		estimation.AssumedPart:            {"capacitance of " + names, within(quantity.FormatValue(a.Value, 2, "F").String(), ""), "--known PART=VALUE±TOLERANCE"},
	}[a.Kind]
	if words[0] == "" {
		return "prior", spread, ""
	}
	return words[0], words[1], words[2]
}

// asDrawn writes what a drawing gives, 0 without one.
func asDrawn(farad float64) string {
	if farad == 0 {
		return "0"
	}
	return quantity.FormatValue(1e12*farad, 2, "").String() + " pF as drawn"
}

// shareText writes a fraction of a variance.
func shareText(s float64) string {
	switch {
	case math.IsNaN(s):
		return "-"
	case s < 0.01:
		return "below 1 %"
	}
	return quantity.Decimals(100*s, 0) + " %"
}

type jsonAssumption struct {
	What       string   `json:"what"`
	Value      string   `json:"value"`
	Share      *float64 `json:"share_of_inductance_variance"`
	Moved      *float64 `json:"moved_by_sigmas,omitempty"`
	Left       *float64 `json:"uncertainty_left,omitempty"`
	IfCommon   *float64 `json:"uncertainty_factor_if_common,omitempty"`
	ReplacedBy string   `json:"replaced_by"`
}

func assumed(r *model.Result) []jsonAssumption {
	return each(r.Assumed, func(a *estimation.Assumption) jsonAssumption {
		what, value, replacedBy := assumption(a)
		ifCommon := math.NaN()
		if a.Kind == estimation.AssumedCommon {
			ifCommon = r.MostIfCommon()
		}
		return jsonAssumption{what, value, number(a.Share), number(a.Moved), number(a.Left), number(ifCommon), replacedBy}
	})
}

// MovedPriors lists all priors and defaults: what was believed, what is known now, by how many of
// its standard uncertainties the fit moved it, its share of the variance of the effective
// inductance, and what would take its place. left is how many are too many to be listed.
func MovedPriors(r *model.Result) (t *Table, left int) {
	t = newTable(Column{Head: "prior"}, Column{Head: "believed"}, Column{Head: "known now"}, right("moved [u]"), right("variance of L"), Column{Head: "replaced by"})
	sources := r.Sources(r.Find(quantities.Key{Name: quantities.EffectiveInductance}))
	moved := r.MovedPriors()
	for _, b := range moved {
		what, believed, now := wording.MovedPrior(&b)
		named, _, replacedBy := assumption(&b.Assumption)
		switch {
		case b.Assumption.Kind == estimation.NotAssumed:
			replacedBy = "stated"
		case b.Kind != estimation.PartSource: // the name that text and JSON have for it
			what = named + wording.MovedOf(&b)
		}
		t.row(what, believed, now, wording.Moved(b.Moved()), shareText(movedShare(&b, sources)), replacedBy)
	}
	for i := range r.Assumed {
		if a := &r.Assumed[i]; a.Kind == estimation.AssumedDigits || a.Kind == estimation.AssumedPrimary || a.Kind == estimation.AssumedTolerance {
			what, value, replacedBy := assumption(a)
			t.row(what, value, "-", "-", shareText(a.Share), replacedBy)
		}
	}
	if left = len(t.Rows) - mostMoved; left > 0 {
		t.Rows = t.Rows[:mostMoved]
	}
	return t, max(0, left)
}

const mostMoved = 40

// movedShare is what a prior brings of the variance that sources share.
func movedShare(b *estimation.MovedPrior, sources []estimation.Source) (sum float64) {
	if sources == nil {
		return math.NaN()
	}
	for _, s := range sources {
		same := s.Kind == b.Kind && s.Part == b.Part && s.Known == b.Known
		if b.Kind == estimation.AssumptionSource || b.Kind == estimation.CommonSource {
			same = same && s.Assumption.Kind == b.Assumption.Kind && slices.Equal(s.Assumption.Names, b.Assumption.Names)
		}
		if same {
			sum += s.Share
		}
	}
	return sum
}
