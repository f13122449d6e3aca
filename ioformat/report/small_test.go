package report

import (
	"slices"
	"strings"
	"testing"

	"fitcoil/model/quantities"
)

// A value keeps its words together in a text, not in a cell.
func TestCellsHaveSpaces(t *testing.T) {
	a := &Answer{Blocks: []Block{{}}}
	a.row("hand", "at"+noBreak+"10"+noBreak+"cm")
	a.row("gain", "2.0"+noBreak+"±"+noBreak+"0.1"+noBreak+" at"+noBreak+"last")
	if got := a.Blocks[0].Rows; !slices.Equal(got[0], []string{"hand", "at 10 cm", ""}) || !slices.Equal(got[1], []string{"gain", "2.0 ± 0.1", "at last"}) {
		t.Errorf("%q", got)
	}
}

func TestJSONIndented(t *testing.T) {
	var b strings.Builder
	if err := writeJSON(&b, map[string]any{"schema": "<1>", "of": []int{1}}); err != nil || b.String() != "{\n  \"of\": [\n    1\n  ],\n  \"schema\": \"<1>\"\n}\n" {
		t.Errorf("%q, %v", b.String(), err)
	}
}

// The coil comes first, then cores, a primary, losses, hand, parts and the bench.
func TestGroupsInOrder(t *testing.T) {
	r := fittedInvented(t)
	coupling := ofCore("", estimateOf(quantities.CouplingAtResonance, "1", 0.2, 0.01))
	r.Parameters = append([]quantities.Estimate{atHand(0, estimateOf(quantities.HandStrength, "F", 1e-12, 1e-13)), estimateOf(quantities.QualityWinding, "1", 100, 5), coupling}, r.Parameters...)
	var titles []string
	for _, g := range Groups(r) {
		titles = append(titles, g.Title)
	}
	if want := []string{"The coil", "Core rod", "The primary", "Losses, as the quality factor that each would leave by itself", "Hand near the top", "Parts on the top", "The bench"}; !slices.Equal(titles, want) {
		t.Errorf("%q", titles)
	}
}

// Why an apparent gain is none, by what is known of the core's capacitance.
func TestApparentGain(t *testing.T) {
	r := fittedInvented(t)
	c := r.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: "rod"})
	for _, s := range []struct {
		v, u float64
		want string
	}{{0.2e-12, 0.05e-12, "The apparent gain counts the core's capacitance, 0.200 ± 0.050 pF, and its place along the winding as inductance."},
		{0.11e-12, 0.05e-12, "The apparent gain counts the core's capacitance, 0.110 ± 0.050 pF, and its place along the winding as inductance."},
		{-0.09e-12, 0.05e-12, "The apparent gain assumes the same current in all turns; the core's capacitance, −0.090 ± 0.050 pF, is not significant."}} {
		c.Value, c.Uncertainty = s.v, s.u
		if got := strings.ReplaceAll(strings.Join(coreWords(r, "rod"), " "), noBreak, " "); got != s.want {
			t.Errorf("%q", got)
		}
	}
	c.Determined = false
	if got := strings.Join(coreWords(r, "rod"), " "); got != "The apparent gain counts a capacitance of the core as inductance; readings with a known capacitor on the top, core in and out, would separate them." {
		t.Errorf("%q", got)
	}
	r.Find(quantities.Key{Name: quantities.RatioGain, Core: "rod"}).Determined = false
	if got := coreWords(r, "rod"); got != nil {
		t.Errorf("%q", got)
	}
}
