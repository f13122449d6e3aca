package benchlog

import (
	"bytes"
	"strings"
	"testing"
)

// Logs as different programs write them; each has its last reading, and one before, taken
// back.
func TestTakeBack(t *testing.T) {
	for name, log := range map[string]struct{ content, marked, without string }{
		"plain": {
			"frequency [MHz],added [pF],use\n2.519,,\n1.613,4.7,\n",
			"frequency [MHz],added [pF],use\n2.519,,no\n1.613,4.7,\n",
			"frequency [MHz],added [pF],use\n2.519,,\n"},
		"semicolons, comma as decimal mark, CRLF": {
			"frequency [MHz];use;added [pF]\r\n2,519;;\r\n1,613;yes;4,7\r\n",
			"frequency [MHz];use;added [pF]\r\n2,519;no;\r\n1,613;yes;4,7\r\n",
			"frequency [MHz];use;added [pF]\r\n2,519;;\r\n"},
		"use first": {
			"use,frequency [MHz]\n,2.519\nyes,1.613\n",
			"use,frequency [MHz]\nno,2.519\nyes,1.613\n",
			"use,frequency [MHz]\n,2.519\n"},
		"quotes, no end of line": {
			"frequency [MHz],added [pF],note,use\n2.519,,\"as built, cold\",\n1.613,4.7,,",
			"frequency [MHz],added [pF],note,use\n2.519,,\"as built, cold\",no\n1.613,4.7,,",
			"frequency [MHz],added [pF],note,use\n2.519,,\"as built, cold\",\n"},
	} {
		for line, want := range map[int]string{2: log.marked, 3: log.without} {
			got, removed, err := TakeBack([]byte(log.content), "log.csv", line)
			if err != nil || string(got) != want || removed != (line == 3) {
				t.Errorf("%s: line %d taken back: %q, %v, %v; want %q", name, line, got, removed, err, want)
			}
		}
	}
}

func TestTakeBackRefuses(t *testing.T) {
	for content, want := range map[string]string{
		"frequency [MHz]\n2.519\n1.613\n":                          "no column",
		"frequency [MHz],use,note\n2.519,,\"two\nlines\"\n1.6,,\n": "can't be changed by itself",
		"frequency\n2.519\n":                                       "unit",
	} {
		if _, _, err := TakeBack([]byte(content), "log.csv", 2); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", content, err, want)
		}
	}
}

// A remark is a comment: the readings stay as they are, and one that would be read as a
// row is refused.
func TestRemark(t *testing.T) {
	content := []byte("frequency [MHz],use\r\n2.519,")
	got, err := Remark(content, "log.csv", "moved to the other bench")
	if want := "frequency [MHz],use\r\n2.519,\r\n# moved to the other bench\r\n"; err != nil || string(got) != want {
		t.Errorf("%q, %v, want %q", got, err, want)
	}
	l, err := Read(bytes.NewReader(got), "log.csv", Options{})
	if err != nil || len(l.Readings) != 1 {
		t.Errorf("read back as %v, %v", l, err)
	}
}

// A log without readings can be read where that is meant, and only there.
func TestBlank(t *testing.T) {
	const content = "frequency [kHz],time [min]\n"
	if _, err := Read(strings.NewReader(content), "log.csv", Options{}); err == nil {
		t.Error("a log without readings is read")
	}
	l, err := Read(strings.NewReader(content), "log.csv", Options{Blank: true})
	if err != nil || l.Unit() != "kHz" || l.clock.per != 60 {
		t.Errorf("%+v, %v", l, err)
	}
}
