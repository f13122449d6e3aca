package page

import (
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
)

// The three sentences, in words that are true of each log.
func TestAnswerIsTrue(t *testing.T) {
	for name, want := range map[string][3]string{
		"bare only":     {"which fixes inductance times capacitance at", "How the capacitance is shared between winding and top, the readings leave open.", "a reading with a known capacitor on the top would tell inductance from capacitance."},
		"one reading":   {"which fixes inductance times capacitance at", "the readings leave open", "nothing tests the model yet"},
		"no core":       {"seen from the top, it is an effective inductance of", "", "a reading with an empty clip on the top"},
		"parts unknown": {"its whole winding has", "The part spike is a capacitance of", ""},
		"only a hand":   {"which fixes inductance times capacitance at", "A hand at 10 cm lowers the bare frequency by", "a known capacitor on the top"},
		"only a core":   {"which fixes inductance times capacitance at", "The core rod lowers the bare frequency by", ""},
		"core always":   {"With the core rod all along it the winding has an inductance of", "What the core rod does, the readings leave open.", "a reading with the core out"},
		"core at 30 %":  {"", "The core a & b", ""},
		"misread":       {"", "", "The reading on line 4 doesn't go with the others"},
		"scattered":     {"", "", "times as much as stated, and every ± here is enlarged to match"},
	} {
		r, _ := fitted(t, logs()[name])
		got := answer(r)
		for i := range want {
			if !strings.Contains(got[i], want[i]) || strings.Count(got[i], ". ") > 0 || !strings.HasSuffix(got[i], ".") || strings.Contains(got[i], "NaN") || strings.Contains(got[i], quantity.Undetermined) {
				t.Errorf("%s: sentence %d is %q, want %q", name, i+1, got[i], want[i])
			}
		}
	}
}
