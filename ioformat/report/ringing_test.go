package report

import (
	"strings"
	"testing"

	"fitcoil/model/ringing"
)

// Every reason and note says something of its own, and none shows what only a programmer
// reads.
func TestWordsOnCaptures(t *testing.T) {
	texts := []string{}
	for r := ringing.TooFewSamples; r <= ringing.NoFit; r++ {
		e := ringing.Refusal{Reason: r, Got: 1.234567, Need: 3, Index: 4}
		texts = append(texts, CaptureRefused(&e))
	}
	for _, why := range []ringing.Short{ringing.Dies, ringing.Slow, ringing.Over} {
		texts = append(texts, CaptureRefused(&ringing.Refusal{Reason: ringing.TooFewCycles, Got: 1.234567, Need: 3, Short: why}))
	}
	for k := ringing.Beating; k <= ringing.BurstsDisagree; k++ {
		texts = append(texts, CaptureNote(ringing.Note{Kind: k, Values: [4]float64{1.234567, 2}}))
	}
	for r := ringing.Strongest; r <= ringing.Other; r++ {
		texts = append(texts, r.String())
	}
	seen := map[string]bool{}
	for _, s := range texts {
		if s == "" || seen[s] || strings.Contains(s, "%!") || strings.Contains(s, "nil") {
			t.Errorf("text %q", s)
		}
		seen[s] = true
	}
	if s := CaptureNote(ringing.Note{Kind: ringing.MayBeAliased, Values: [4]float64{2.34567, 1.23456e6}}); !strings.HasPrefix(s, "only 2.35 samples per cycle: a tone of 1.23 MHz would") {
		t.Error(s)
	}
}
