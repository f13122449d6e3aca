package readings

// Primary says what was done with a primary while a frequency was read. The zero value
// is none, or an open one.
type Primary struct {
	Kind        PrimaryKind
	Capacitance float64 // F across it, of a tuned one
	Upper       bool    // with a tuned one: of the two resonances the upper
}

// PrimaryKind is what is across a primary.
type PrimaryKind int

// Kinds of primaries.
const (
	PrimaryOpen PrimaryKind = iota // or absent
	PrimaryShorted
	PrimaryTuned // a capacitor
)
