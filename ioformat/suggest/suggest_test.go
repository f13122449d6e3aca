package suggest

import "testing"

func TestNearest(t *testing.T) {
	columns := []string{"frequency", "added", "core", "covered", "hand", "use", "note"}
	for word, want := range map[string]string{
		"frequncy": "frequency", "freqeuncy": "frequency", "Frequenzy": "frequency", "hnad": "hand", "han": "hand",
		"aded": "added", "coverd": "covered", "uses": "use", "cores": "core",
		"hand":     "", // nothing to correct
		"frekenzy": "", // three edits
		"date":     "", "temperature": "", "u": "", "": "", "hdn": "", "fq": "",
	} {
		if got, _ := Nearest(word, columns); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
}

// A single letter is like every word of two; the first of two candidates as near wins.
func TestNearestOfShortWords(t *testing.T) {
	for _, c := range [][2]string{{"u", "us"}, {"us", "u"}} {
		if got, ok := Nearest(c[0], []string{c[1]}); ok {
			t.Errorf("%q for %q", got, c[0])
		}
	}
	for word, want := range map[string]string{"us": "use", "se": "use", "ux": "", "fi": "fit", "Lo": "log"} { // one slip is enough for two
		if got, _ := Nearest(word, []string{"use", "fit", "log"}); got != want {
			t.Errorf("%q: %q, want %q", word, got, want)
		}
	}
	for list, want := range map[[2]string]string{{"cork", "cord"}: "cork", {"cord", "cork"}: "cord"} {
		if got, _ := Nearest("core", list[:]); got != want {
			t.Errorf("%v: %q", list, got)
		}
	}
	for word, want := range map[string]string{"covrde": "covered", "covrd": ""} { // two slips are many for five letters
		if got, _ := Nearest(word, []string{"covered"}); got != want {
			t.Errorf("%s: %q", word, got)
		}
	}
	if a, b := Meant("aded", []string{"added"}, "?"), Meant("xyz", []string{"added"}, "?"); a != "did you mean added?" || b != "?" {
		t.Errorf("%q, %q", a, b)
	}
}

// TestDistance: kitten and sitting are three edits apart (the textbook example
// of the edit distance); two letters swapped are one.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "abc", 0}, {"ca", "abc", 3}} {
		if got := distance([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("%s to %s: %d, want %d", c.a, c.b, got, c.want)
		}
		if got := distance([]rune(c.b), []rune(c.a)); got != c.want {
			t.Errorf("%s to %s: %d, want %d", c.b, c.a, got, c.want)
		}
	}
}
