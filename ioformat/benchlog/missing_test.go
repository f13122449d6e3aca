package benchlog

import "testing"

// A header is of frequencies by its name or by its unit.
func TestHeaderOfFrequencies(t *testing.T) {
	for header, want := range map[string]bool{"frequency [MHz]": true, "MHz": true, "# kHz": true, "reading [kHz]": true, "frequency": true, "# frequency": true,
		"f": false, "added [pF]": false, "pF": false, "note": false, "": false} {
		if ofFrequency(header) != want {
			t.Errorf("%q is of frequencies: %v", header, !want)
		}
	}
	if !aHeader([]string{"note;kHz"}) || !aHeader([]string{"core", "MHz"}) || aHeader([]string{"core", "pF"}) {
		t.Error("a header isn't known as such")
	}
}
