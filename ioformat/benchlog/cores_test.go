package benchlog

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestCoreNames: a cell under core is a name, a word for nothing, or a fault.
func TestCoreNames(t *testing.T) {
	for cell, want := range map[string]string{
		"rod": "rod", "#2 beads": "#2 beads", "10 beads": "10 beads", "43": "!", "43 rod": "43 rod", "R40C1": "R40C1", "type 61": "type 61",
		"N/A": "!", "3B1": "3B1", "Ferrit-Stab": "Ferrit-Stab", "(a)": "(a)", "long rod, half": "long rod, half",
		"no core": "", "Air core": "", "air": "", "none": "", "out": "", "-": "", "Ohne": "", "sans noyau": "sans noyau", "No": "", "without core": "",
		"5": "!", "60%": "!", "60 %": "!", "10cm": "!", "10 cm": "!", "TRUE": "!", "=": "!", "=B2": "!", "4p7": "!", "4n7": "!", "20..60": "!",
		"4.7 pF": "!", "1e-3": "!", "+": "!", "<60": "!", "?": "!", "*": "!", "1,5": "!", "±5": "!", "2.5 MHz": "!",
		strings.Repeat("long ", 20): "!",
		"4R7":                       "!", "4E7": "!", "\"rod\nlong\"": "!", "false": "!", "True": "!",
	} {
		l, err := Read(strings.NewReader("frequency [MHz];core\n1.8;"+cell+"\n"), "log.csv", Options{})
		switch {
		case want == "!" && (err == nil || !strings.Contains(err.Error(), "log.csv:2:2 (column B, \"core\")")):
			t.Errorf("%q is read: %v", cell, err)
		case want != "!" && err != nil:
			t.Error(err)
		case want != "!" && l.Readings[0].Core != want:
			t.Errorf("%q is read as core %q", cell, l.Readings[0].Core)
		}
	}
}

// TestLookAlikes: names one slip apart are pointed at, numbered ones are not.
func TestLookAlikes(t *testing.T) {
	for _, c := range []struct {
		names string
		told  bool
	}{
		{"rod rod rdo", true}, {"rdo rod rod", true}, {"rod rdo rod", true}, {"rod rod rood", true}, {"beads beads bead", true}, {"ferrite ferrite ferite", true}, {"rod rod rid", true},
		{"c1 c2", false}, {"rod1 rod1 rod2", false}, {"#2 #3", false}, {"10-beads 12-beads", false}, {"rod-long rod-short", false}, {"iron brass", false},
		{"R40 R33", false}, {"type-43 type-61", false},
	} {
		log := "frequency [MHz],core\n"
		for _, name := range strings.Fields(c.names) {
			log += "1.8," + name + "\n"
		}
		told := strings.Contains(strings.Join(mustRead(t, []byte(log), Options{}).Warnings, ""), "slip of the pen")
		if told != c.told {
			t.Errorf("%s: told %v", c.names, told)
		}
	}
	if l := mustRead(t, []byte("frequency [MHz],core\n1.8,rod A\n1.7,rod B\n"), Options{}); len(l.Warnings) > 0 {
		t.Errorf("%q", l.Warnings)
	}
}

// TestLimits: what nobody writes by hand is refused with a line that says so, soon.
func TestLimits(t *testing.T) {
	many := func(n int, row string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, row, i)
		}
		return b.String()
	}
	for name, c := range map[string]struct{ log, says string }{
		"cores":     {"frequency [MHz],core\n" + many(70, "1.8,core %d\n"), "no more than 30 cores; one core keeps one name; text belongs into the note"},
		"names":     {"frequency [MHz],added [pF]\n" + many(4900, "1.8,part %d\n"), "no more than 30 parts without a value"},
		"31 terms":  {"frequency [MHz],added [pF]\n1.8,1" + strings.Repeat("+1", 30) + "\n", "no more than 30 parts at a time"},
		"terms":     {"frequency [MHz],added [pF]\n1.8,4.7" + strings.Repeat("+4.7", 1e5) + "\n", "no more than 30 parts at a time"},
		"long core": {"frequency [MHz],core\n1.8," + strings.Repeat("x", 60000) + "\n", "at most 80 characters"},
		"long part": {"frequency [MHz],added [pF]\n1.8," + strings.Repeat("x", 60000) + "\n", "at most 80 characters"},
		"headers":   {"frequency [MHz]" + many(2000, ",col %d") + "\n1.8" + strings.Repeat(",", 2000) + "\n", "and 1980 more"},
		"quote":     {"frequency [MHz],note\n1.8,\"unclosed\n" + strings.Repeat("1.7,some note\n", 3e6), "log.csv:2:2 (column B, \"note\"): the quotation mark that opens this cell is not closed"},
		"comments":  {"frequency [MHz],note\n1.8,\n" + strings.Repeat("# nothing\n", 3e6), "16 million characters"},
	} {
		start := time.Now()
		l, err := Read(strings.NewReader(c.log), "log.csv", Options{})
		got := fmt.Sprint(err)
		if err == nil {
			got = strings.Join(l.Warnings, "; ")
		}
		if !strings.Contains(got, c.says) || len(got) > 6000 {
			t.Errorf("%s: %.300s", name, got)
		}
		t.Logf("%s: %v", name, time.Since(start))
	}
}
