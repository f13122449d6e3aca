package voltage

// Gap is air, or what else is there, between two things at different voltages.
type Gap struct {
	Kind     Kind
	Lower    int     // for BetweenBeads, the number of the lower bead, from 1
	Height   float64 // m, of its middle above the grounded end
	Share    float64
	Distance float64 // m
}

// Kind says what a gap is between.
type Kind int

// Kinds of gaps.
const (
	BetweenTurns Kind = iota // the distance is between bare wires; enamel and air share it
	BetweenBeads
	CoreToWinding // the former's wall is in it
	ToPrimary     // from winding or ball, all four
	ToRing
	ToPlate
	ToBox
)

// Spark returns a peak voltage [V] at which gaps like g have been seen to spark.
func (g Gap) Spark() float64 {
	if g.Kind == BetweenTurns {
		return Spark(0)
	}
	return Spark(g.Distance)
}
