package field

// Impossible is why a coil can't be as it is drawn.
type Impossible struct {
	Flaw   Flaw
	Values []float64 // that it is about: lengths in m, but for plain numbers
}

func (e *Impossible) Error() string { return "impossible coil" }

func impossible(f Flaw, values ...float64) error { return &Impossible{f, values} }

// Flaw is what makes a coil impossible.
type Flaw int

// Flaws; in parentheses, what their values are.
const (
	NoWinding             Flaw = iota // turns, diameter or length aren't above zero
	NegativeLength                    // of wire, ball, its gap, height or hand
	TooFewSlices                      //
	BeadsWithoutSize                  // or a number or spacing below zero
	BeadsTooThick                     // for the winding (both diameters)
	BeadPermeability                  // isn't above 1 (it)
	BeadPermittivity                  // is below 1 (it)
	BeadsInBall                       // (upper end of the core, lower of the ball)
	BeadsOverlap                      //
	NoCore                            // none is drawn, or one without volume
	StretchOutside                    // the winding
	FormerPermittivity                // isn't 1 or above
	FormerHollow                      // its outer diameter isn't above its inner one
	FormerTooThick                    // for the winding (both diameters)
	FormerTooNarrow                   // for the beads (both diameters)
	CoatingIncomplete                 // without thickness or permittivity
	PrimaryIncomplete                 // without turns, diameter or wire, or of too many turns (the most)
	PrimaryWithoutSpacing             //
	PrimaryWireTooThick               // (both diameters)
	PrimaryWithinBeads                // (both diameters)
	PrimaryTouches                    // the winding
	RingIncomplete                    //
	RingTouches                       // the coil
	PlateIncomplete                   //
	PlateTouches                      // the coil
	BoxIncomplete                     //
	BoxTooSmall                       // (lowest and highest point in it, and width)
	BoxBelowGround                    //
	MetalTouches                      // other metal
	ConductorsTouch                   //
	CoreTouches                       // ball or winding
	InsulatorsTouch                   // each other or a conductor
	HandTouches                       // the top (its distance)
	HandInBox                         // (its distance, and the least there may be)
)
