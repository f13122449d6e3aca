package benchlog

import (
	"slices"
	"testing"
)

func TestWords(t *testing.T) {
	for text, want := range map[string][]string{
		"":                               nil,
		"bare":                           nil,
		" Bare ":                         nil,
		"added=3.3pF,core=rod":           {"added=3.3pF", "core=rod"},
		"added=lantern roof,  hand=20cm": {"added=lantern roof", "hand=20cm"},
		"core=long rod covered=20..60%":  {"core=long rod", "covered=20..60%"},
		"roof":                           {"roof"},
		"bare core=rod":                  {"core=rod"},
	} {
		if got := Words(text); !slices.Equal(got, want) {
			t.Errorf("%q: words %q, want %q", text, got, want)
		}
	}
}
