package figure

import "fitcoil/model"

// Set returns all figures of a fit, in the order in which they are best read.
func Set(r *model.Result) []Figure {
	return []Figure{
		Frequency(r),
		Residuals(r),
		RunOrder(r),
		ByState(r),
		Quantiles(r),
	}
}
