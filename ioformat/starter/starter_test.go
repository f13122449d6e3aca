package starter

import (
	"slices"
	"testing"
)

func TestWritten(t *testing.T) {
	got := Written([]string{"date: 12 November", "operator:", "", "note         anything", "cover closed"})
	if want := []string{"date: 12 November", "", "cover closed"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
