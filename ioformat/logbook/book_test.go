package logbook

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"fitcoil/ioformat/benchlog"
	"fitcoil/model/estimation"
)

// kept is a log in memory, on a disk that may be full.
type kept struct {
	Memory
	full bool
}

func (k *kept) Update(edit func([]byte) ([]byte, error)) error {
	return k.Memory.Update(func(content []byte) ([]byte, error) {
		changed, err := edit(content)
		if err == nil && k.full {
			err = errors.New("the disk is full")
		}
		return changed, err
	})
}

// open opens a log in memory, with the minutes that go by in passed.
func open(t *testing.T, k *kept, passed *float64) *Book {
	t.Helper()
	if passed == nil {
		passed = new(float64)
	}
	b, _, err := Open(k, Bench{Name: "evening.csv", Read: Reader("evening.csv", benchlog.Options{}, nil, nil, estimation.Session{}),
		Now: func() time.Time { return time.Unix(0, 0).Add(time.Duration(*passed * float64(time.Minute))) }, Tolerance: 0.05 / 1.96})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// say has b answer lines, none of which it may refuse.
func say(t *testing.T, b *Book, lines ...string) (text string) {
	t.Helper()
	for _, line := range lines {
		r := b.Line(line)
		if r.Refused {
			t.Fatalf("%q is refused: %s", line, r.Text)
		}
		text = r.Text
	}
	return text
}

// What a line of a reading may look like, and how it stands in the log then.
func TestReadingIsWritten(t *testing.T) {
	for line, want := range map[string]string{
		"2.519":                              "2.519,,,,,,,,0,,",
		"2.510":                              "2.510,,,,,,,,0,,",
		"2519 kHz bare":                      "2.519,,,,,,,,0,,",
		"2519 kHz BARE":                      "2.519,,,,,,,,0,,",
		"2.519MHz±0.8kHz":                    "2.519,0.8,,,,,,,0,,",
		"2MHz±1kHz":                          "2.000,1,,,,,,,0,,",
		"2.519MHz +/- 0.0008MHz":             "2.519,0.8,,,,,,,0,,",
		"1.965 core=rod covered=20..60%":     "1.965,,,rod,20..60,,,,0,,",
		"2.507 hand=0.2m":                    "2.507,,,,,20,,,0,,",
		"1.613 added=4.7pF±1%":               "1.613,,4.7±1%,,,,,,0,,",
		"1.613 added=4.7pF":                  "1.613,,4.7,,,,,,0,,",
		"1.8 added = lantern roof time=12.5": "1.8,,lantern roof,,,,,,12.5,,",
		"2.516 added=clip":                   "2.516,,clip,,,,,,0,,",
		"2.516 use=no note=in a draught":     "2.516,,,,,,,,0,no,in a draught",
	} {
		k := &kept{}
		r := open(t, k, nil).Line(line)
		rows := strings.Split(string(k.Content), "\n")
		if r.Refused || rows[len(rows)-2] != want {
			t.Errorf("%q: %q, refused %v %s, want %q", line, k.Content, r.Refused, r.Text, want)
		}
	}
}

// A line that is wrong changes nothing and is answered in one line that says what to do.
func TestWrongLines(t *testing.T) {
	k := &kept{}
	b := open(t, k, nil)
	say(t, b, "have 4.7pF core=rod", "2.519", "1.613 added=4.7pF", "1.785 core=rod")
	before := string(k.Content)
	for line, want := range map[string]string{
		"2,519":               "decimal mark",
		"hello":               "? lists the words",
		"hvae 2.2pF":          "did you mean have?",
		"-2.5":                "above 0",
		"2":                   "two digits",
		"2.519±0.8kHz":        "which unit",
		"2.519 +- 0.8 kHz":    "which unit",
		"2.519MHz±2MHz":       "below a tenth",
		"4.7pF":               "added=4.7pF",
		"2.519 weight=3kg":    "expected",
		"2.519 core=rd":       "did you mean rod?",
		"note=cold":           "goes with a frequency",
		"have":                "have needs",
		"have 4.7mH":          "expected",
		"have 1µF":            "between 0 and 1 µF",
		"goal":                "goal needs",
		"goal weight":         "expected",
		"note":                "note needs",
		"< <":                 "stands alone",
		"fit now":             "nothing follows",
		"±":                   "",
		"±-1kHz":              "above 0",
		"±3 V":                "expected",
		"2.5 added=4.7pF+":    "expected",
		"2.5 added=4.7pF ÷":   "expected",
		"no/such/capture.csv": "no frequency",
	} {
		r := b.Line(line)
		if !strings.Contains(r.Text, want) || strings.Count(r.Text, "\n") != 1 || r.Refused != (want != "") {
			t.Errorf("%q: refused %v, %q, want %q", line, r.Refused, r.Text, want)
		}
		if string(k.Content) != before {
			t.Fatalf("%q changed the log:\n%s", line, k.Content)
		}
	}
	k.full = true
	for _, line := range []string{"1.146 added=4.7pF core=rod", "<", "note cold"} {
		if r := b.Line(line); !r.Refused || r.Text != "the disk is full\n" || string(k.Content) != before || b.readings() != 3 {
			t.Errorf("%q with a full disk: %q, %d readings", line, r.Text, b.readings())
		}
	}
}

// Minutes go on from where a log ended, and a log without the column stays without.
func TestTime(t *testing.T) {
	k, minutes := &kept{}, 0.0
	b := open(t, k, &minutes)
	say(t, b, "2.519")
	minutes = 12.7
	say(t, b, "1.613 added=4.7pF")
	minutes = 100
	b = open(t, k, &minutes)
	minutes = 103
	say(t, b, "2.519 bare")
	if want := "2.519,,,,,,,,0,,\n1.613,,4.7,,,,,,12,,\n2.519,,,,,,,,15,,\n"; !strings.HasSuffix(string(k.Content), want) {
		t.Errorf("%s want %s", k.Content, want)
	}
	k = &kept{Memory: Memory{[]byte("frequency [kHz],use\n2519,\n")}}
	say(t, open(t, k, &minutes), "2518")
	if want := "frequency [kHz],use\n2519,\n2518,\n"; string(k.Content) != want {
		t.Errorf("%q, want %q", k.Content, want)
	}
	k = &kept{Memory: Memory{[]byte("time,frequency [kHz],use\n14:05,2519,\n")}}
	say(t, open(t, k, &minutes), "2518")
	if !strings.Contains(string(k.Content), "\n"+time.Unix(0, 0).Add(103*time.Minute).Format("15:04")+",2518,\n") {
		t.Errorf("%q", k.Content)
	}
}

// What another program adds meanwhile stays, and counts.
func TestChangedMeanwhile(t *testing.T) {
	k := &kept{}
	b := open(t, k, nil)
	say(t, b, "2.519")
	other := open(t, k, nil)
	say(t, other, "1.613 added=4.7pF")
	if r := b.Line("<"); !r.Refused || b.readings() != 2 {
		t.Errorf("a reading is taken back of a log that has changed: %q, %d readings", r.Text, b.readings())
	}
	say(t, b, "2.519")
	if b.readings() != 3 {
		t.Errorf("%d readings, want 3:\n%s", b.readings(), k.Content)
	}
}

// Slips of the pen that a prediction tells: the number meant.
func TestSlip(t *testing.T) {
	for _, c := range []struct {
		typed         string
		expected, u   float64
		meant, answer string
	}{
		{"1.416", 1.1459, 0.001, "1.146", ""},
		{"1.163", 1.6129, 0.001, "1.613", ""},
		{"1.631", 1.6129, 0.001, "1.613", ""},
		{"2.519", 1.6129, 0.001, "", ""},
		{"0.974MHz", 0.8739, 0.001, "0.874", ""},
	} {
		value := number(leading(c.typed))
		got := slip(c.typed, func(ratio float64) float64 { return math.Abs(ratio*value-c.expected) / c.u })
		if got != c.meant {
			t.Errorf("%s where %g is expected: %q, want %q", c.typed, c.expected, got, c.meant)
		}
	}
}

// A reading that surprises is written and asked about at once, before the fit that it would
// spoil; taken back, the log stands as it was.
func TestSurprise(t *testing.T) {
	k := &kept{}
	b := open(t, k, nil)
	say(t, b, "have 4.7pF core=rod", "±0.8kHz", "2.519", "1.613 added=4.7pF", "1.785 core=rod", "1.146 added=4.7pF core=rod")
	before, l := string(k.Content), b.known()[0]
	text := say(t, b, "1.163 added=4.7pF")
	if !strings.Contains(text, "read 1.163 or 1.613?") || !strings.Contains(text, "once more") || strings.Contains(text, "→") || !b.pending {
		t.Errorf("fitted already: %v, %q", !b.pending, text)
	}
	if !strings.Contains(say(t, b, "fit"), "line 6, 1.163 MHz, contradicts all other readings") {
		t.Error("the fit does not know of a reading that is off by a third")
	}
	say(t, b, "<")
	if got := b.known()[0]; string(k.Content) != before || got.Value != l.Value || got.Uncertainty != l.Uncertainty {
		t.Errorf("taken back, the inductance is %+v, was %+v", got, l)
	}
}
