package benchlog

import (
	"slices"
	"testing"

	"fitcoil/model/readings"
)

func TestUnusedValues(t *testing.T) {
	given := Options{Parts: map[string]PartValue{"Lantern  Roof": {}, "lantern rof": {}, "4.7pF": {}, "0.0047 nF": {}, "10 pF": {}}}
	parts := []readings.Part{{Name: "lantern roof"}, {Name: "4.7 pF", Known: true}, {Name: "4.7 pF (2)", Known: true}}
	if got, want := given.Unused(parts), []string{"10 pF", "lantern rof"}; !slices.Equal(got, want) {
		t.Errorf("unused %q, want %q", got, want)
	}
	if got := (Options{}).Unused(nil); len(got) > 0 {
		t.Errorf("unused %q of nothing", got)
	}
}
