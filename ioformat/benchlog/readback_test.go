package benchlog

import (
	"testing"

	"fitcoil/model/readings"
)

// A row read back differs from what was meant as soon as its state does, by a thousandth of
// a distance, a cover or a part; not by the rounding of its frequency.
func TestReadBackTellsOneStateFromAnother(t *testing.T) {
	meant := func() saidReading {
		s := saidReading{Reading: readings.Reading{State: readings.Bare(), Frequency: 1.965e6, Uncertainty: 800, Use: true},
			parts: []readings.Part{{Name: "4.7 pF", Capacitance: 4.7e-12, Known: true}}}
		s.Core, s.From, s.To, s.Hand = "rod", 0.2, 0.6, 0.15
		return s
	}
	for want, change := range map[string]func(s *saidReading){
		"":          func(s *saidReading) { s.Frequency += 900 },
		"frequency": func(s *saidReading) { s.Frequency += 3000 },
		"core":      func(s *saidReading) { s.Core = "bar" },
		"cover":     func(s *saidReading) { s.To *= 1.001 },
		"hand":      func(s *saidReading) { s.Hand *= 1.001 },
		"parts":     func(s *saidReading) { s.parts[0].Capacitance *= 1.001 },
		"use":       func(s *saidReading) { s.Use = false },
	} {
		s := meant()
		change(&s)
		if what, _, _ := s.differs(meant()); what != want {
			t.Errorf("%q differs, want %q", what, want)
		}
	}
}
