package figure

import "fitcoil/model"

// Set returns all figures of a fit, in the order in which they are best read.
func Set(r *model.Result) []Figure {
	list := []Figure{Frequency(r), InverseSquare(r), Region(r), Budget(r), Priors(r)}
	if f := Hand(r); f != nil {
		list = append(list, *f)
	}
	list = append(list, Residuals(r), RunOrder(r), ByState(r), Quantiles(r), Correlations(r))
	for i, f := range list {
		list[i] = tidied(f)
	}
	return list
}
