package benchlog

import (
	"slices"
	"strings"
	"testing"
)

// TestRowsBehindHash: a line that begins with # is a comment; one that would be a
// reading is a fault, and one that may be a row is told.
func TestRowsBehindHash(t *testing.T) {
	for _, c := range []struct{ log, says string }{
		{"core,frequency [MHz]\n,2.5\n#2 beads,1.8\n", `fault log.csv:3:1 (column A, "core"): read "#2 beads", expected a reading that doesn't begin with #`},
		{"core,frequency [MHz]\n,2.5\n  #2 beads,1.8\n", `fault log.csv:3:1`},
		{"run;frequency [MHz]\n1;2,5\n#2;1,8\n", `fault log.csv:3:1 (column A, "run")`},
		{"run,frequency\n1,2.5 MHz\n#2,1.8 MHz\n", `fault log.csv:3:1 (column A, "run")`},
		{"frequency [MHz],added [pF]\n2.5,\n#N/A,4.7\n", `fault log.csv:3:1 (column A, "frequency [MHz]"): read "#N/A", expected a frequency`},
		{"frequency [MHz],added [pF]\n2.5,\n#REF!,4.7\n", `read "#REF!"`},
		{"frequency [MHz],added [pF]\n2.5,\n#DIV/0!,4.7", `read "#DIV/0!"`},
		{"frequency [MHz],added [pF]\n2.5,\n\"#N/A\",4.7\n", `fault log.csv:3:1 (column A, "frequency [MHz]"): read "#N/A"`},
		{"core,frequency [MHz]\n,2.5\n#1,#N/A\n", `fault log.csv:3:2 (column B`},
		{"frequency [MHz],added [pF]\n2.5,\n#2.2,4.7\n", `notice log.csv:3: the line begins with # and is left out as a comment, though it has as many cells as the header: "#2.2,4.7"`},
		{"frequency [MHz],added [pF]\n2.5,\n# bare again: 3 May, dry\n", `notice log.csv:3: the line begins`},
		{"core,frequency [MHz]\n#2 beads,1.8\n,2.5\n", `fault log.csv:2:1`},
		// comments
		{"frequency [MHz],added [pF]\n2.5,\n# bare again\n# \"8 inch\n#####\n# 3 May,\n  # 2.5\n", ""},
		{"# frequency [MHz],added [pF]\n#1,2\nfrequency [MHz],added [pF]\n2.5,\n", ""},
		{"frequency [MHz],note\n2.5,\"two lines\n# 2.4,3\"\n", ""},
	} {
		got := ""
		l, err := Read(strings.NewReader(c.log), "log.csv", Options{})
		if err != nil {
			got = "fault " + err.Error()
		} else if len(l.Notices) > 0 {
			got = "notice " + strings.Join(l.Warnings, "; ")
		}
		if c.says == "" && got != "" || !strings.Contains(got, c.says) {
			t.Errorf("%q: %q\ndoesn't say %q", c.log, got, c.says)
		}
	}
}

// TestCoreNamedAfterHash: what the fault says to do helps.
func TestCoreNamedAfterHash(t *testing.T) {
	l := one(t, "core,frequency [MHz]", `"#2 beads",1.8`)
	if r := l.Readings[0]; r.Core != "#2 beads" {
		t.Errorf("core %q", r.Core)
	}
	l = one(t, "frequency [MHz],core", `1.8,#2`)
	if r := l.Readings[0]; r.Core != "#2" {
		t.Errorf("core %q", r.Core)
	}
}

func TestManyCommentedRows(t *testing.T) {
	for rows, want := range map[int][]string{
		3:  nil,
		4:  {"log.csv:6: here ends a list of 1 more such line, left out too"},
		10: {"log.csv:12: here ends a list of 7 more such lines, left out too"},
	} {
		l := mustRead(t, []byte("frequency [MHz],added [pF]\n2.5,\n"+strings.Repeat("#2.2,4.7\n", rows)), Options{})
		if n := l.Warnings; len(n) < 3 || !slices.Equal(n[3:], want) {
			t.Errorf("%d rows: %q", rows, n)
		}
	}
}
