package benchlog

import (
	"strings"
	"testing"
)

// A header is of frequencies by its name or by its unit.
func TestHeaderOfFrequencies(t *testing.T) {
	for header, want := range map[string]bool{"frequency [MHz]": true, "MHz": true, "# kHz": true, "reading [kHz]": true, "frequency": true, "# frequency": true, "f0": true,
		"f": false, "added [pF]": false, "pF": false, "note": false, "": false} {
		if ofFrequency(header) != want {
			t.Errorf("%q is of frequencies: %v", header, !want)
		}
	}
	if !aHeader([]string{"note;kHz"}) || !aHeader([]string{"core", "MHz"}) || aHeader([]string{"core", "pF"}) {
		t.Error("a header isn't known as such")
	}
}

// A row is one of numbers if more than half of its filled cells begin with a digit.
func TestRowsOfNumbers(t *testing.T) {
	for row, want := range map[string]bool{"1.5": true, "x": false, "": false, ",": false, "1.5,x": false, "1.5,2,x": true, "x,2,3": true, "x,y,3": false, "1.5,,,": true, ",1.5": true, ",,x": false, "1.5,,x": false} {
		if numeric(strings.Split(row, ",")) != want {
			t.Errorf("%q is of numbers: %v", row, !want)
		}
	}
}

// What has no column of frequencies is told by what it may be: numbers without a header, a header below at most five lines, or
// as a comment, or cells cut by another delimiter than the first line says.
func TestLogsWithoutAColumnOfFrequencies(t *testing.T) {
	const further = `, expected the header, which stands further down; put # in front of each line above the header`
	const onTop = `, expected a header above the readings; put a row on top, without #, that names the columns and their units, such as "frequency [MHz],added [pF],note"`
	const none = `, expected a column of frequencies, such as frequency [MHz]; name it so`
	const header = "f [MHz],core\n2.5,rod\n"
	for content, want := range map[string]string{
		"2.5,4.7\n2.4,10\n":                           `log.csv:1: read "2.5,4.7"` + onTop,
		"2.5,rod,4.7\n2.4,rod,10\n":                   `log.csv:1: read "2.5,rod,4.7"` + onTop,
		"a,b\n" + header:                              `log.csv:1: read "a,b"` + further,
		"a,b\n" + strings.Repeat("c,d\n", 4) + header: `log.csv:1: read "a,b"` + further,
		"a,b\n" + strings.Repeat("c,d\n", 5) + header: `log.csv:1: read "a,b"` + none,
		"core,note\nrod,x\n":                          `log.csv:1: read "core,note"` + none,
		"# f [MHz],core\n2.5,4.7\n":                   `log.csv:2: read "2.5,4.7", expected a header above the readings; line 1 looks like it, but begins with # as comments do: take the # away, or name the first column, such as run`,
		"sep=;\nf [MHz],core\n2.5,rod\n":              `log.csv:2: read "f [MHz],core", expected cells separated by the semicolon, as the first line says; correct that line or delete it`,
	} {
		if _, err := Read(strings.NewReader(content), "log.csv", Options{}); words(err) != want {
			t.Errorf("%q: %v\nwant %s", content, err, want)
		}
	}
}
