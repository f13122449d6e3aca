package field

import (
	"fmt"
	"math"
	"testing"
)

func BenchmarkLadder(b *testing.B) {
	l, _ := NewLadder(Shape{Diameter: .024, Length: .22})
	var m Mode
	s := State{Inductance: 1e-3, Capacitance: 5e-12, Top: 1e-12, Cores: []Stretch{{From: 0, To: .6, Gain: 2, Capacitance: 1e-13}}}
	for b.Loop() {
		l.Resonate(s, &m)
	}
}
func TestLad(t *testing.T) {
	for _, n := range []int{20, 40, 80} {
		l, err := NewLadder(Shape{Diameter: .024, Length: .22, Slices: n})
		if err != nil {
			t.Fatal(err)
		}
		var m Mode
		for _, s := range []State{{Inductance: 1, Capacitance: 1}, {Inductance: 1, Capacitance: 1, Top: 1, Cores: []Stretch{{From: .13, To: .77, Gain: 2.3, Capacitance: .1}}}, {Inductance: 1, Capacitance: 1, Top: .1, Cores: []Stretch{{From: 0, To: 1, Gain: 1, Capacitance: .1}}}, {Inductance: 1, Capacitance: 1, Top: .1, Cores: []Stretch{{From: 0, To: .3, Gain: .7}}}} {
			l.Resonate(s, &m)
			fmt.Printf("%d %.12f C %.6f perW %.6f perTop %.6f %v %v\n", n, m.Omega, m.Capacitance, m.PerWinding, m.PerTop, m.Cores, m.Current[0])
			num := func(f func(s *State, h float64)) float64 {
				h := 1e-4
				var a, b Mode
				s1 := s
				s1.Cores = append([]Stretch(nil), s.Cores...)
				f(&s1, h)
				l.Resonate(s1, &a)
				s1 = s
				s1.Cores = append([]Stretch(nil), s.Cores...)
				f(&s1, -h)
				l.Resonate(s1, &b)
				return math.Log(a.Omega/b.Omega) / 2 / h
			}
			fmt.Println("   ", num(func(s *State, h float64) { s.Capacitance += h }), num(func(s *State, h float64) { s.Top += h }))
			if len(s.Cores) > 0 {
				fmt.Println("   ", num(func(s *State, h float64) { s.Cores[0].Gain *= 1 + h }), num(func(s *State, h float64) { s.Cores[0].Capacitance += h }))
			}
		}
	}
}
