package patterns

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/stable"
)

// Trend returns Spearman's rank correlation ρ of the values with their order,
// and the two-sided probability of one as large without any trend, from
// Student's t with n − 2 degrees of freedom for ρ √((n−2)/(1−ρ²)) (Kendall &
// Stuart, The Advanced Theory of Statistics, vol. 2, § 31.19; good from ten
// values on). Fewer than six values, or all equal ones, give ρ = 0, p = 1.
func Trend(values []float64) (rho, p float64) {
	n := len(values)
	if n < 6 {
		return 0, 1
	}
	order := make([]float64, n)
	for i := range order {
		order[i] = float64(i)
	}
	rho = stat.Correlation(order, ranks(values), nil)
	if math.IsNaN(rho) {
		return 0, 1
	}
	nu := float64(n - 2)
	t := math.Abs(rho) * math.Sqrt(nu/math.Max(1-rho*rho, 1e-300))
	return rho, 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Survival(t)
}

// ranks returns the rank of each value; equal ones share their mean rank.
func ranks(values []float64) []float64 {
	index := make([]int, len(values))
	for i := range index {
		index[i] = i
	}
	stable.Sort(index, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	out := make([]float64, len(values))
	for i := 0; i < len(index); {
		j := i
		for j < len(index) && values[index[j]] == values[index[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[index[k]] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}
