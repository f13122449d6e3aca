package quantities

// Key says which quantity: its name, and what it is one of where that needs saying.
type Key struct {
	Name string  // one of the names of this package, as EffectiveInductance
	Core string  // the core it belongs to, "" for none
	Part string  // the part it belongs to, "" for none
	Hand float64 // m, the distance of the hand it belongs to, 0 for none
}
