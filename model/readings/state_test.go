package readings

import (
	"math"
	"slices"
	"testing"
)

// whole is a state with something in every field.
func whole() State {
	return State{Parts: []int{2, 0, 1}, Clip: true, Exact: 1e-12, Core: "rod", From: 0.2, To: 0.7, Hand: 0.1, Primary: Primary{Kind: PrimaryTuned, Capacitance: 1e-9}}
}

// Two states are one if nothing but the order of parts tells them apart, and are written alike
// if not even that does. What is known exactly of the top is no part of the state as read.
func TestWhichStatesAreOne(t *testing.T) {
	for what, c := range map[string]struct {
		change        func(*State)
		same, repeats bool
	}{
		"nothing":         {func(s *State) {}, true, true},
		"order of parts":  {func(s *State) { s.Parts = []int{0, 1, 2} }, true, false},
		"one part twice":  {func(s *State) { s.Parts = []int{2, 0, 0} }, false, false},
		"a part less":     {func(s *State) { s.Parts = []int{2, 0} }, false, false},
		"clip":            {func(s *State) { s.Clip = false }, false, false},
		"exact":           {func(s *State) { s.Exact = 2e-12 }, true, false},
		"core":            {func(s *State) { s.Core = "bead" }, false, false},
		"where it begins": {func(s *State) { s.From = 0.1 }, false, false},
		"where it ends":   {func(s *State) { s.To = 0.8 }, false, false},
		"hand":            {func(s *State) { s.Hand = 0.2 }, false, false},
		"nobody near":     {func(s *State) { s.Hand = math.Inf(1) }, false, false},
		"primary":         {func(s *State) { s.Primary.Upper = true }, false, false},
		"primary's value": {func(s *State) { s.Primary.Capacitance = 2e-9 }, false, false},
		"kind of primary": {func(s *State) { s.Primary.Kind = PrimaryShorted }, false, false},
	} {
		a, b := whole(), whole()
		c.change(&b)
		if Same(&a, &b) != c.same || Same(&b, &a) != c.same {
			t.Errorf("%s: one state %v", what, !c.same)
		}
		if a.Repeats(&b) != c.repeats {
			t.Errorf("%s: written alike %v", what, !c.repeats)
		}
		if c.same && a.Key() != b.Key() {
			t.Errorf("%s: keys %+v and %+v", what, a.Key(), b.Key())
		}
		if !slices.Equal(a.Parts, []int{2, 0, 1}) {
			t.Fatalf("%s: the parts are now %v", what, a.Parts)
		}
	}
	// The key sees the condition, the number of parts and their sum.
	a, b, c := whole(), whole(), whole()
	b.Parts, c.Hand = []int{2, 0, 3}, 0.3
	if a.Key() == b.Key() || a.Key() == c.Key() {
		t.Errorf("keys %+v, %+v, %+v", a.Key(), b.Key(), c.Key())
	}
}

// What is asked of a state.
func TestWhatAStateIs(t *testing.T) {
	type answers struct {
		besides, partly, clipped bool
		nearness                 float64
	}
	for what, c := range map[string]struct {
		change func(*State)
		want   answers
	}{
		"bare":        {func(s *State) {}, answers{}},
		"a part":      {func(s *State) { s.Parts = []int{0} }, answers{besides: true, clipped: true}},
		"a clip":      {func(s *State) { s.Clip = true }, answers{besides: true, clipped: true}},
		"exact":       {func(s *State) { s.Exact = 1e-12 }, answers{besides: true}},
		"hand":        {func(s *State) { s.Hand = 0.15 }, answers{besides: true, nearness: 0.15}},
		"all of core": {func(s *State) { s.Core, s.To = "rod", 1 }, answers{}},
		"upper half":  {func(s *State) { s.Core, s.From, s.To = "rod", 0.5, 1 }, answers{partly: true}},
		"lower half":  {func(s *State) { s.Core, s.To = "rod", 0.5 }, answers{partly: true}},
	} {
		s := Bare()
		c.change(&s)
		if got := (answers{s.Besides(), s.Partly(), s.Clipped(), s.Nearness()}); got != c.want {
			t.Errorf("%s: %+v, want %+v", what, got, c.want)
		}
	}
	s := whole()
	condition := s.Condition()
	if want := (Condition{"rod", 0.2, 0.7, 0.1, s.Primary}); condition != want {
		t.Errorf("condition %+v, want %+v", condition, want)
	}
	back := condition.State(3e-12)
	s.Parts, s.Clip, s.Exact = nil, false, 3e-12
	if !back.Repeats(&s) || s.Stretch() != (Stretch{"rod", 0.2, 0.7}) {
		t.Errorf("%+v of the condition, want %+v", back, s)
	}
}

// Of a part: whether it has an unknown of its own, and whether its lot has one.
func TestUnknownsOfParts(t *testing.T) {
	for _, c := range []struct {
		p            Part
		open, shares bool
	}{
		{Part{}, true, false},
		{Part{Known: true}, false, false},
		{Part{Known: true, Uncertainty: 1}, true, false},
		{Part{Known: true, Uncertainty: 1, Lot: "kit"}, true, false},
		{Part{Known: true, Uncertainty: 1, Lot: "kit", Common: 0.5}, true, true},
		{Part{Known: true, Uncertainty: 1, Lot: "kit", Common: 1}, false, true},
		{Part{Known: true, Uncertainty: 1, Common: 0.5}, true, false},
		{Part{Known: true, Lot: "kit", Common: 0.5}, false, false},
		{Part{Uncertainty: 1, Lot: "kit", Common: 0.5}, true, false},
	} {
		if c.p.Open() != c.open || c.p.Shares() != c.shares {
			t.Errorf("%+v: open %v, shares %v", c.p, c.p.Open(), c.p.Shares())
		}
	}
}

// States are gone through in order, as long as they are wanted; readings left out aren't.
func TestGoingThroughStates(t *testing.T) {
	log := Log{Readings: []Reading{{Use: true, State: State{Hand: 1}}, {State: State{Hand: 2}}, {Use: true, State: State{Hand: 3}}, {Use: true, State: State{Hand: 4}}}}
	var got []float64
	for s := range log.Used() {
		if got = append(got, s.Hand); s.Hand == 3 {
			break
		}
	}
	for s := range Each([]State{{Hand: 5}, {Hand: 6}, {Hand: 7}}) {
		if got = append(got, s.Hand); s.Hand == 6 {
			break
		}
	}
	if !slices.Equal(got, []float64{1, 3, 5, 6}) {
		t.Errorf("states %v", got)
	}
	for stop, want := range [][]float64{{}, {5}, {5, 6}, {5, 6, 1}, {5, 6, 1, 3}, {5, 6, 1, 3, 4}} { // one list after another
		got := []float64{}
		for s := range All(Each([]State{{Hand: 5}, {Hand: 6}}), log.Used(), Each(nil)) {
			if len(got) == stop {
				break
			}
			got = append(got, s.Hand)
		}
		if !slices.Equal(got, want) {
			t.Errorf("the first %d are %v, want %v", stop, got, want)
		}
	}
}

// The parts of a state are those that it refers to, in its order, twice where it has two; names are theirs.
func TestPartsOfAState(t *testing.T) {
	parts := []Part{{Name: "a"}, {Name: "b"}, {Name: "c"}}
	s := State{Parts: []int{2, 0, 2}}
	if got := Names(s.Of(parts)); !slices.Equal(got, []string{"c", "a", "c"}) {
		t.Errorf("parts %v", got)
	}
	if got := Names((&State{}).Of(parts)); len(got) != 0 {
		t.Errorf("of the bare coil %v", got)
	}
}

// States are numbered in the order in which they came first, whatever the order of parts in them; what is exact, and
// all else, tells them apart. Only the rows asked for count.
func TestNumberedStates(t *testing.T) {
	at := func(change func(s *State)) Reading {
		s := Bare()
		change(&s)
		return Reading{State: s}
	}
	log := &Log{Readings: []Reading{
		at(func(s *State) { s.Hand = 0.3 }),
		at(func(s *State) { s.Parts = []int{0, 1} }),
		at(func(*State) {}),
		at(func(s *State) { s.Parts = []int{1, 0} }),
		at(func(s *State) { s.Exact = 1e-12 }),
		at(func(s *State) { s.Exact = 2e-12 }),
		at(func(*State) {}),
		at(func(s *State) { s.Exact = 2e-12 }),
		at(func(s *State) { s.Core, s.To = "rod", 1 }),
		at(func(s *State) { s.Parts = []int{0, 1} }),
		at(func(s *State) { s.Core, s.To = "rod", 0.5 }),
	}}
	for _, c := range []struct {
		rows, of []int
		n        int
	}{
		{[]int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, []int{0, 1, 2, 1, 3, 4, 2, 4, 5, 1, 6}, 7},
		{[]int{9, 7, 3, 6, 2, 4}, []int{0, 1, 0, 2, 2, 3}, 4},
		{[]int{2, 6}, []int{0, 0}, 1},
		{nil, nil, 0},
	} {
		if of, n := Numbered(log, c.rows); !slices.Equal(of, c.of) || n != c.n {
			t.Errorf("rows %v: %v, %d states, want %v, %d", c.rows, of, n, c.of, c.n)
		}
	}
}
