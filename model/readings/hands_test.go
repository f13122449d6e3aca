package readings

import (
	"slices"
	"testing"
)

// Hands are listed once each, in order, nobody near left out; of a great many, as many as
// are told of, the nearest and the farthest among them.
func TestHands(t *testing.T) {
	at := func(distances ...float64) (log Log) {
		log.Readings = append(log.Readings, Reading{State: Bare()})
		for _, d := range distances {
			log.Readings = append(log.Readings, Reading{State: State{Hand: d}})
		}
		return log
	}
	if got, want := Hands(at(0.2, 0.1, 0.2)), []float64{0.1, 0.2}; !slices.Equal(got, want) {
		t.Errorf("hands at %v, want %v", got, want)
	}
	var many []float64
	for i := range 100 {
		many = append(many, 0.01*float64(i+1))
	}
	if got := Hands(at(many[:12]...)); !slices.Equal(got, many[:12]) {
		t.Errorf("of twelve hands %v", got)
	}
	if got, want := Hands(at(many[:13]...)), []float64{many[0], many[1], many[2], many[3], many[4], many[5], many[6], many[7], many[8], many[9], many[10], many[12]}; !slices.Equal(got, want) {
		t.Errorf("of thirteen hands %v, want %v", got, want)
	}
	if got := Hands(at(many...)); len(got) != 12 || got[0] != many[0] || got[11] != many[99] || !slices.IsSorted(got) {
		t.Errorf("of a hundred hands %v", got)
	}
}
