package page

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/report"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// The page begins with what the text says first: every number and word of the answer in
// brief stands in its head, in the same order.
func TestAnswerIsThatOfTheText(t *testing.T) {
	for name, log := range logs() {
		r, _ := fitted(t, log)
		plan := planFor(r, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}, 0.05/1.96)
		var text bytes.Buffer
		must.Do(t, report.FitText(&text, r, plan, r.Parts(), report.Source{Log: "log.csv"}, report.View{}))
		head := parse(t, written(t, r)).all("header")[0].words()
		block := ""
		for _, line := range strings.Split(text.String(), "\n") {
			switch {
			case strings.HasPrefix(line, "Coil, bare"):
				block = "coil"
			case line == "":
				block = ""
			}
			if words := strings.Join(strings.Fields(line), " "); block != "" && !strings.Contains(head, words) {
				t.Errorf("%s: the page's head lacks %q: %s", name, words, head)
			}
		}
		if verdict := report.Verdict(r); !strings.Contains(head, verdict) {
			t.Errorf("%s: the page's head lacks %q", name, verdict)
		}
		for _, label := range []string{"Limited by", "Not determined", "Next"} {
			if strings.Contains(text.String(), "\n"+label) != strings.Contains(head, label) {
				t.Errorf("%s: %q in the text: %v, in the page's head: %v", name, label, !strings.Contains(head, label), strings.Contains(head, label))
			}
		}
	}
}

// Comments with a name are fields, others paragraphs; a colon deep in a sentence makes
// none.
func TestHead(t *testing.T) {
	h := newHead([]string{"date: 12 November", "operator: M. Lindqvist,,,,", "A coil in a lighthouse,", "read at low power: 5 V.", "", "Second evening."})
	if want := []field{{"date", "12 November"}, {"operator", "M. Lindqvist"}}; !slices.Equal(h.Fields, want) {
		t.Errorf("fields %q", h.Fields)
	}
	if want := []string{"A coil in a lighthouse, read at low power: 5 V.", "Second evening."}; !slices.Equal(h.Text, want) {
		t.Errorf("text %q", h.Text)
	}
	if newHead(nil) != nil {
		t.Error("a head without comments")
	}
	r, _ := demo(t)
	page := parse(t, written(t, r)).words()
	if want := "M. Lindqvist. Inductance and capacitance of a resonant coil from frequencies, measured 12 November: report on lighthouse.csv. Fitted with fitcoil v0.0.0."; !strings.Contains(page, want) {
		t.Errorf("no %q", want)
	}
}

// A field is found by its name in any case, and is empty where there is none.
func TestFieldInAnyCase(t *testing.T) {
	h := newHead([]string{"Operator: Ada", "DATE: 12 November"})
	for name, want := range map[string]string{"operator": "Ada", "date": "12 November", "Date": "12 November", "coil": ""} {
		if got := h.field(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
	if got := newHead(nil).field("date"); got != "" {
		t.Errorf("%q", got)
	}
}
