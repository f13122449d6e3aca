package readings

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// recordedIn is a reading of a state with an amplitude and a quality factor.
func recordedIn(s State, amplitude, quality float64) Reading {
	return Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 100, Amplitude: amplitude, Quality: quality}
}

// By hand: with the rod all the way in, the amplitude is half at 0.2 m and a third at no hand, in
// geometric mean 1/√6, their logarithms ln(3/2)/√2 apart in standard deviation, √2 of that less
// for the mean of two. A reading that isn't used, one with half the rod in and one that nothing
// is alike to without the core don't count; readings of one state are averaged first.
func TestContrasts(t *testing.T) {
	air := Bare()
	near := air
	near.Hand = 0.2
	loaded := air
	loaded.Parts = []int{1, 0}
	in := func(s State, core string, from, to float64) State { s.Core, s.From, s.To = core, from, to; return s }
	unused := recordedIn(air, 100, 100)
	unused.Use = false
	none := math.NaN()
	log := Log{Readings: []Reading{
		recordedIn(in(air, "rod", 0, 0.5), 1, 1),
		recordedIn(air, 5, 90),
		unused,
		recordedIn(air, 7, none), // 6 on the average
		recordedIn(in(air, "rod", 0, 1), 2, none),
		recordedIn(in(near, "rod", 0, 1), 4, none),
		recordedIn(near, 8, none),
		recordedIn(in(loaded, "rod", 0, 1), 3, none), // nothing beside it
		recordedIn(in(air, "bead", 0.6, 0.8), none, 30),
		recordedIn(in(air, "bead", 0.3, 0.6), 9, 45),
		recordedIn(in(air, "bead", 0.3, 0.4), none, 30),
	}}
	far := air
	far.Hand = 0.5
	log.Readings = append(log.Readings, recordedIn(in(far, "rod", 0, 1), 0, none), recordedIn(far, 5, none)) // no ratio of nothing
	want := []Contrast{
		{Core: "rod", Ratio: 1 / math.Sqrt(6), Uncertainty: 1 / math.Sqrt(6) * math.Log(1.5) / 2, Pairs: 2},
		{Core: "bead", Ratio: 1.5, Uncertainty: none, Pairs: 1},
		{Core: "bead", Quality: true, Ratio: 0.5, Uncertainty: none, Pairs: 1},
	}
	same := func(a, b Contrast) bool {
		alike := func(x, y float64) bool { return math.Abs(x-y) <= 1e-12 || math.IsNaN(x) && math.IsNaN(y) }
		return a.Core == b.Core && a.Quality == b.Quality && a.Pairs == b.Pairs && alike(a.Ratio, b.Ratio) && alike(a.Uncertainty, b.Uncertainty)
	}
	if got := Contrasts(log); !slices.EqualFunc(got, want, same) {
		t.Errorf("%+v, want %+v", got, want)
	}
	// Whichever reading comes first, the same is told, of the core read first before the other.
	for first := range log.Readings {
		turned := Log{Readings: slices.Concat(log.Readings[first:], log.Readings[:first])}
		got := Contrasts(turned)
		slices.SortStableFunc(got, func(a, b Contrast) int { return strings.Compare(b.Core, a.Core) })
		if !slices.EqualFunc(got, want, same) {
			t.Errorf("from reading %d on: %+v, want %+v", first, got, want)
		}
		if got := [3]float64{BareRatio(turned, "rod", false), BareRatio(turned, "bead", false), BareRatio(turned, "bead", true)}; !(math.Abs(got[0]-1.0/3) <= 1e-12) || got[1] != 1.5 || got[2] != 0.5 {
			t.Errorf("from reading %d on: %v", first, got)
		}
	}
	for _, c := range []struct {
		core    string
		quality bool
		want    float64
	}{{"rod", false, 1.0 / 3}, {"bead", false, 1.5}, {"bead", true, 0.5}, {"rod", true, none}, {"yoke", false, none}} {
		if got := BareRatio(log, c.core, c.quality); !(math.Abs(got-c.want) <= 1e-12) && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("%s, quality %v: %v, want %v", c.core, c.quality, got, c.want)
		}
	}
}
