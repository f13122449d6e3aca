package report

import (
	"math"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
)

// What nobody stated is told with its value, and with what would take its place.
func TestPriorsInWords(t *testing.T) {
	rod := []string{"rod"}
	for _, c := range []struct {
		a                 estimation.Assumption
		what, value, flag string
	}{
		{estimation.Assumption{Kind: estimation.AssumedTolerance, Names: []string{"a", "b"}, Spread: 0.05 / 1.96}, "tolerance of a, b", "5 %, a bound taken as 95 %", "column added ±, --tolerance, or --known PART=VALUE±TOLERANCE"},
		{estimation.Assumption{Kind: estimation.AssumedDigits, Count: 1}, "± of 1 reading", "half a unit of the last digit, rectangular", "column frequency ±"},
		{estimation.Assumption{Kind: estimation.AssumedShare, Value: 0.4, Spread: 0.2}, "top's share of the coil's capacitance", "0.4 ± 0.2", "--coil with winding diameter and length, or --known winding_capacitance=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedCoreCapacitance, Names: rod, Value: 3.1e-12, Spread: 0.07}, "capacitance that core rod adds to the winding", "3.1 pF as drawn ± 7 % of the winding's", "--known core_capacitance:rod=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedCoreCapacitance, Names: rod, Spread: 0.07}, "capacitance that core rod adds to the winding", "0 ± 7 % of the winding's", "--known core_capacitance:rod=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedEnds, Names: rod, Value: 0.05, Spread: 1.5}, "reach of the end effect, core rod", "0.05 of the winding's length, within a factor of 1.5", "--coil with winding diameter and length"},
		{estimation.Assumption{Kind: estimation.AssumedMoved, Names: rod, Value: 0.05, Spread: 2}, "capacitance that core rod moves to the top, equivalent line", "5 % of the winding's, within a factor of 2.0", "--coil with winding diameter and length"},
		{estimation.Assumption{Kind: estimation.AssumedHandOffset, Value: 0.05, Spread: 2}, "offset d0 of the hand's law", "5 cm, within a factor of 2.0", "--known hand_offset=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedHandExponent, Value: 1.2, Spread: 0.3}, "exponent p of the hand's law", "1.2 ± 0.3", "--known hand_exponent=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedCommon, Names: []string{"a", "b"}, Value: 0.5}, "tolerances in common, a, b", "50 % of their variance", "the word common or own behind a tolerance"},
		{estimation.Assumption{Kind: estimation.AssumedEarlier, Count: 7, Names: []string{"mon.csv"}}, "7 readings of the earlier session mon.csv", "as read then", "no --known-from"},
		{estimation.Assumption{Kind: estimation.AssumedEarlier, Count: 7, Names: []string{"mon.csv", "rod", "10 pF"}}, "7 readings of the earlier session mon.csv (rod, 10 pF)", "as read then", "no --known-from"},
		{estimation.Assumption{Kind: estimation.AssumedStray, Spread: 0.5e-12}, "stray capacitance on the bench of the earlier session, less that here", "0.00 ± 0.50 pF", "no --new-bench"},
		{estimation.Assumption{Kind: estimation.AssumedLead, Spread: 0.03e-12}, "capacitance of clips and leads", "0.000 ± 0.030 pF", "a reading with an empty clip (added: clip), or --known lead=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedDrift, Spread: 200e-6}, "drift, first to last reading", "0 ± 200 ppm", "the first state read again at the end, or --known drift=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedCoupled, Value: 0.01, Spread: 0.02}, "coupling of the primary, ln(f_short/f_open)", "0.01 ± 0.02", "readings with the primary open and shorted, in that state of the core"},
		{estimation.Assumption{Kind: estimation.AssumedPrimary}, "place of the primary", "around the winding's grounded end", "--coil with the primary's turns, diameter and height"},
		{estimation.Assumption{Kind: estimation.AssumedCapacitance, Value: 4e-12, Spread: 3}, "capacitance of winding and top", "4.0 pF, within a factor of 3.0", "a reading with a known capacitor on the top, or --known inductance=VALUE±"},
		{estimation.Assumption{Kind: estimation.AssumedHand, Value: 2e-12, Spread: 3}, "the hand's capacitance", "2.0 pF, within a factor of 3.0", "readings of the hand with nothing unknown on the top"},
		{estimation.Assumption{Kind: estimation.AssumedPart, Names: []string{"spike"}, Value: 2e-12, Spread: 4}, "capacitance of spike", "2.0 pF, within a factor of 4.0", "--known PART=VALUE±TOLERANCE"},
		{estimation.Assumption{Value: 2, Spread: 1}, "prior", "2 ± 1", ""},
	} {
		what, value, flag := assumption(&c.a)
		if what != c.what || value != c.value || flag != c.flag {
			t.Errorf("%q, %q, %q\nwant %q, %q, %q", what, value, flag, c.what, c.value, c.flag)
		}
	}
	for share, want := range map[float64]string{0.0099: "below 1 %", 0.01: "1 %", 0.514: "51 %"} {
		if got := shareText(share); got != want {
			t.Errorf("%v: %q, want %q", share, got, want)
		}
	}
	if got := shareText(math.NaN()); got != "-" {
		t.Errorf("%q", got)
	}
}

// What to do first against each contradiction.
func TestResolutions(t *testing.T) {
	const first = "resolve the contradiction first: "
	for _, c := range []struct {
		f    findings.Finding
		want string
	}{
		{findings.Finding{Kind: findings.EarlierContradicts}, first + "fitcoil compare tells what moved between the two logs"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Lines: []int{4, 7}}}, first + "read lines 4 and 7 again, or correct what was written"},
		{findings.Finding{Kind: findings.PartOffTolerance, Name: "10 pF"}, first + `measure part "10 pF" at a meter, and check its rows`},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.Inductance, Drawn: true}, first + "check the rows of the coil sheet, then the largest residuals (--full)"},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.Inductance}, first + "check the known value of inductance, then the largest residuals (--full)"},
		{findings.Finding{Kind: findings.Implausible}, "check the units in the header of the log"},
		{findings.Finding{Kind: findings.TolerancesContradicted}, first + "measure the parts at a meter, and look at the largest residuals (--full)"},
	} {
		if got := resolution(c.f); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
