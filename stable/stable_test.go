package stable_test

import (
	"cmp"
	"slices"
	"testing"

	"fitcoil/stable"
)

// Equal elements stay in their order, as with the library's own.
func TestSort(t *testing.T) {
	type pair struct{ key, place int }
	by := func(a, b pair) int { return cmp.Compare(a.key, b.key) }
	var x []pair
	for i := range 200 {
		x = append(x, pair{i * 37 % 11, i})
	}
	want := slices.Clone(x)
	slices.SortStableFunc(want, by)
	if stable.Sort(x, by); !slices.Equal(x, want) {
		t.Errorf("%v, want %v", x, want)
	}
}
