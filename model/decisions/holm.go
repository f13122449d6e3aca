package decisions

import (
	"cmp"

	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// holm tells which of several tests fail at 5 % for all together, from the probability of each
// by chance (S. Holm, Scandinavian Journal of Statistics 6, 1979, 65–70), which holds however
// they are correlated. NaN is no test.
func holm(chances []float64) (fails []bool, tested int) {
	var order []int
	for i, p := range chances {
		if quantities.Finite(p) {
			order = append(order, i)
		}
	}
	stable.Sort(order, func(a, b int) int { return cmp.Compare(chances[a], chances[b]) })
	fails = make([]bool, len(chances))
	for k, i := range order {
		if chances[i] > 0.05/float64(len(order)-k) {
			break
		}
		fails[i] = true
	}
	return fails, len(order)
}
