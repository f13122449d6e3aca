package wording

import (
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Each source of a variance has words of its own, and readings are counted.
func TestSource(t *testing.T) {
	for _, c := range []struct {
		s    estimation.Source
		want string
	}{
		{estimation.Source{Kind: estimation.BareReadings, Count: 1}, "1 reading bare"},
		{estimation.Source{Kind: estimation.AddedReadings, Count: 2}, "2 readings with added C"},
		{estimation.Source{Kind: estimation.CoreReadings, Count: 3}, "3 readings with a core"},
		{estimation.Source{Kind: estimation.HandReadings, Count: 4}, "4 readings with a hand"},
		{estimation.Source{Kind: estimation.PartSource, Part: "10 pF"}, "tolerance of 10 pF"},
		{estimation.Source{Kind: estimation.CommonSource}, "tolerances in common"},
		{estimation.Source{Kind: estimation.KnownSource, Known: quantities.Key{Name: quantities.WindingCapacitance}}, "known winding capacitance"},
		{estimation.Source{Kind: estimation.KnownSource, Known: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}, "known core gain (core rod)"},
		{estimation.Source{Kind: estimation.ModelSource}, "model, core partly in"},
		{estimation.Source{Kind: estimation.LawSource, Hand: 0.2}, "hand's law at 20 cm"},
		{estimation.Source{Kind: estimation.LawSource}, "hand's law at the distances"},
	} {
		if got := Source(&c.s); got != c.want {
			t.Errorf("%+v: %q, want %q", c.s, got, c.want)
		}
	}
	said := map[string]estimation.AssumptionKind{}
	for k := estimation.AssumedTolerance; k <= estimation.AssumedPart; k++ {
		words := Prior(&estimation.Assumption{Kind: k, Names: []string{"x"}})
		if other, twice := said[words]; twice && words != "prior" && words != "capacitance of x" {
			t.Errorf("kinds %d and %d are both %q", other, k, words)
		}
		said[words] = k
	}
	if len(said) < 10 {
		t.Errorf("%d kinds of priors have words of their own: %v", len(said), said)
	}
}
