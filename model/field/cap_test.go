package field

import (
	"fmt"
	"math"
	"testing"
)

func TestSph(t *testing.T) {
	u := 4 * math.Pi * Eps0
	for _, r := range []resolution{{.02, .1, 1.6, 0}, {.01, .05, 1.4, 0}, {.003, .05, 1.4, 0}} {
		e := r.grade(1)
		m := moments{}
		m.add(sphere(1, 0, e), share{0, 1})
		c, _ := m.maxwell(1)
		fmt.Println(len(e)-1, "iso", c.At(0, 0)/u-1)
		for _, x := range [][2]float64{{1.01, 3.238235}, {1.1, 2.155086}, {2, 1.341060}, {20, 1.025641}} {
			m := moments{ground: true, plane: -x[0]}
			m.add(sphere(1, 0, e), share{0, 1})
			c, _ := m.maxwell(1)
			fmt.Println(x[0], c.At(0, 0)/u/x[1]-1)
		}
		for _, x := range [][3]float64{{2.02, 1.966428, -1.271807}, {2.5, 1.253023, -.525373}, {20, 1.002513, -0.050126}} {
			m := moments{}
			m.add(sphere(1, 0, e), share{0, 1})
			m.add(sphere(1, x[0], e), share{1, 1})
			c, _ := m.maxwell(2)
			fmt.Println(x[0], c.At(0, 0)/u/x[1]-1, c.At(0, 1)/u/x[2]-1)
		}
	}
}
