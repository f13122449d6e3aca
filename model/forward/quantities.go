package forward

// Quantities lists all that the unknowns of f can tell: first parameters, then
// what derives from them.
func Quantities(f *Model) (parameters, derived []Quantity) {
	parameters = append(windingQuantities(f), coreQuantities(f)...)
	parameters = append(parameters, handQuantities(f)...)
	parameters = append(parameters, partQuantities(f)...)
	parameters = append(parameters, leadQuantities(f)...)
	return parameters, DerivedQuantities(f)
}
